import { expect, test } from 'vitest';
import { mix } from '../../src/signal/mix.js';
import { collect, type Sound, soundOf } from '../../src/signal/sound.js';

const ramp = (length: number, step: number): Float64Array =>
  Float64Array.from({ length }, (_, n) => n * step);

/** The same samples in blocks of a given size. */
function inBlocks(samples: Float64Array, size: number): Sound {
  return {
    sampleRateHz: 44_100,
    length: samples.length,
    *blocks() {
      for (let i = 0; i < samples.length; i += size) yield samples.subarray(i, i + size);
    },
  };
}

test.each([
  [7, 13],
  [13, 7],
  [100, 1],
])('adds sample by sample whatever the block sizes (%i and %i)', (a, b) => {
  const sum = collect(mix(inBlocks(ramp(100, 1), a), inBlocks(ramp(100, 10), b)));
  expect([...sum]).toEqual([...ramp(100, 11)]);
});

test('lasts as long as the first sound, the second silent after its end', () => {
  const sum = collect(mix(soundOf(ramp(10, 1)), soundOf(ramp(4, 10))));
  expect([...sum]).toEqual([0, 11, 22, 33, 4, 5, 6, 7, 8, 9]);
});

test('leaves the blocks of its parts alone', () => {
  const first = ramp(10, 1);
  collect(mix(soundOf(first), soundOf(ramp(10, 1))));
  expect([...first]).toEqual([...ramp(10, 1)]);
});

test('refuses sounds of different rates', () => {
  expect(() => mix(soundOf(ramp(1, 1), 44_100), soundOf(ramp(1, 1), 48_000))).toThrow(RangeError);
});
