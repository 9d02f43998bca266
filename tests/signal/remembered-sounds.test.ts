/** Sounds held in memory. */
import { expect, test } from 'vitest';
import { HeldSounds } from '../../src/signal/remembered-sounds.js';
import { collect, type Sound, soundOf } from '../../src/signal/sound.js';

/** A sound that counts how often it is computed. */
function counted(length: number): { readonly sound: Sound; readonly times: () => number } {
  let times = 0;
  const plain = soundOf(
    Float64Array.from({ length }, (_, i) => i / length),
    8000,
  );
  const blocks = () => {
    times += 1;
    return plain.blocks();
  };
  return { sound: { ...plain, blocks }, times: () => times };
}

test('a sound for which there is room is computed once, when it is first read', () => {
  const { sound, times } = counted(100);
  const held = new HeldSounds(100);
  const got = held.get('a', () => sound);
  expect(times()).toBe(0);
  for (let i = 0; i < 3; i++) expect(collect(got)).toEqual(collect(soundOf(collect(got))));
  expect(collect(held.get('a', () => counted(5).sound))).toEqual(collect(counted(100).sound));
  expect(got.sampleRateHz).toBe(8000);
  expect(times()).toBe(1);
});

test('a sound for which there is none is computed each time, a shorter one after it is held', () => {
  const [first, second, third] = [counted(60), counted(50), counted(40)];
  const held = new HeldSounds(100);
  for (const [key, { sound }] of Object.entries({ first, second, third })) {
    for (let i = 0; i < 2; i++) {
      expect(collect(held.get(key, () => sound))).toEqual(collect(counted(sound.length).sound));
    }
  }
  expect([first.times(), second.times(), third.times()]).toEqual([1, 2, 1]);
});
