/** Sounds placed in silence. */
import { expect, test } from 'vitest';
import { sequence } from '../../src/signal/sequence.js';
import { collect, soundOf } from '../../src/signal/sound.js';

const sound = (...samples: number[]) => soundOf(Float64Array.from(samples), 8000);

test('places sounds where they start, silence elsewhere', () => {
  const placed = [
    { start: 1, sound: sound(1, 2) },
    { start: 3, sound: sound(3) },
    { start: 5, sound: sound(4) },
  ];
  expect([...collect(sequence(8000, 7, placed))]).toEqual([0, 1, 2, 3, 0, 4, 0]);
});

test('is silent without sounds, however long', () => {
  const silence = collect(sequence(8000, 40_000, []));
  expect(silence).toHaveLength(40_000);
  expect(silence.every(sample => sample === 0)).toBe(true);
});

test.each([
  [
    'overlapping sounds',
    [
      { start: 0, sound: sound(1, 2) },
      { start: 1, sound: sound(3) },
    ],
  ],
  ['a sound past the end', [{ start: 6, sound: sound(1, 2) }]],
  ['another sample rate', [{ start: 0, sound: soundOf(Float64Array.of(1), 44_100) }]],
  ['half a sample', [{ start: 0.5, sound: sound(1) }]],
])('refuses %s', (_what, placed) => {
  expect(() => sequence(8000, 7, placed)).toThrow(RangeError);
});
