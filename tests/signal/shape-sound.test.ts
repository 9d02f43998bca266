/** Gain, fades and lengths of sounds. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fitSound, shapeSound } from '../../src/signal/shape-sound.js';
import { collect, type Sound, soundOf } from '../../src/signal/sound.js';

/** Ones, in blocks of a given size. */
const ones = (length: number, blockLength = length): Sound => ({
  sampleRateHz: 1000,
  length,
  *blocks() {
    for (let i = 0; i < length; i += blockLength) {
      yield new Float64Array(Math.min(blockLength, length - i)).fill(1);
    }
  },
});

describe('shapeSound', () => {
  test('fades in and out along half a cosine, and keeps its gain between', () => {
    const shaped = collect(
      shapeSound(ones(1000), { gain: 2, fadeInSeconds: 0.2, fadeOutSeconds: 0.1 }),
    );
    expect(shaped[0]).toBeCloseTo(0, 3);
    // Half of the gain in the middle of a fade: between samples 99 and 100, and 949 and 950.
    expect((shaped[99]! + shaped[100]!) / 2).toBeCloseTo(1, 6);
    expect((shaped[949]! + shaped[950]!) / 2).toBeCloseTo(1, 6);
    expect(shaped.subarray(200, 900).every(sample => sample === 2)).toBe(true);
    expect(shaped[999]).toBeCloseTo(0, 2);
    // 2 x (0.5 - 0.5 cos(pi / 4)) at a quarter of the fade.
    expect((shaped[49]! + shaped[50]!) / 2).toBeCloseTo(1 - Math.SQRT1_2, 4);
  });

  test('does not depend on the size of blocks', () => {
    const shape = { gain: 0.5, fadeInSeconds: 0.3, fadeOutSeconds: 0.7 };
    const whole = collect(shapeSound(ones(1000), shape));
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1000 }), size => {
        expect(collect(shapeSound(ones(1000, size), shape))).toEqual(whole);
      }),
      { seed: 1 },
    );
  });

  test('without fades and at a gain of 1 changes nothing, nor ever the block it is given', () => {
    const sound = soundOf(Float64Array.of(1, -2, 3));
    expect(collect(shapeSound(sound, { gain: 1, fadeInSeconds: 0, fadeOutSeconds: 0 }))).toEqual(
      Float64Array.of(1, -2, 3),
    );
    collect(shapeSound(sound, { gain: 5, fadeInSeconds: 0, fadeOutSeconds: 0 }));
    expect(collect(sound)).toEqual(Float64Array.of(1, -2, 3));
  });

  test.each([
    ['fades that overlap', { gain: 1, fadeInSeconds: 0.6, fadeOutSeconds: 0.6 }],
    ['a gain of NaN', { gain: Number.NaN, fadeInSeconds: 0, fadeOutSeconds: 0 }],
    ['a negative gain', { gain: -1, fadeInSeconds: 0, fadeOutSeconds: 0 }],
    ['a fade of NaN', { gain: 1, fadeInSeconds: Number.NaN, fadeOutSeconds: 0 }],
  ])('refuses %s', (_what, shape) => {
    expect(() => shapeSound(ones(1000), shape)).toThrow(RangeError);
  });
});

describe('fitSound', () => {
  const abc: Sound = {
    sampleRateHz: 1000,
    length: 3,
    blocks: () => [Float64Array.of(1, 2), Float64Array.of(3)],
  };

  test.each([
    [0, []],
    [1, [1]],
    [3, [1, 2, 3]],
    [5, [1, 2, 3, 1, 2]],
    [7, [1, 2, 3, 1, 2, 3, 1]],
  ])('gives %d samples', (length, samples) => {
    const fitted = fitSound(abc, length);
    expect(fitted.length).toBe(length);
    expect([...collect(fitted)]).toEqual(samples);
  });

  test('refuses to repeat nothing, and half a sample', () => {
    expect(() => fitSound(soundOf(new Float64Array(0)), 2)).toThrow(RangeError);
    expect(() => fitSound(abc, 1.5)).toThrow(RangeError);
  });
});
