/** The transform against its definition, over sizes and signals. */
import { describe, expect, test } from 'vitest';
import {
  complexSpectrum,
  fftSizeFor,
  inverseComplexSpectrum,
  realSpectrum,
  signalOfSpectrum,
} from '../../src/signal/fft.js';
import { seededRandom } from '../../src/signal/random.js';

/** Rounding of N additions of numbers of size 1. */
const ROUNDING = 1e-12;

const noise = (length: number): Float64Array => {
  const random = seededRandom(`fft test ${length}`);
  return Float64Array.from({ length }, () => random.normal());
};

/** Bin k by the definition of the discrete Fourier transform. */
function definition(signal: Float64Array, bin: number): readonly [number, number] {
  let re = 0;
  let im = 0;
  signal.forEach((value, n) => {
    const angle = (-2 * Math.PI * bin * n) / signal.length;
    re += value * Math.cos(angle);
    im += value * Math.sin(angle);
  });
  return [re, im];
}

describe('realSpectrum', () => {
  test.each([2, 4, 64, 1024])('agrees with the definition at %i points', size => {
    const signal = noise(size);
    const spectrum = realSpectrum(signal);
    expect(spectrum).toHaveLength(size + 2);
    for (let bin = 0; bin <= size / 2; bin += Math.max(1, size / 16)) {
      const [re, im] = definition(signal, bin);
      expect(Math.abs(spectrum[2 * bin]! - re)).toBeLessThan(ROUNDING * size);
      expect(Math.abs(spectrum[2 * bin + 1]! - im)).toBeLessThan(ROUNDING * size);
    }
  });

  test('is undone by signalOfSpectrum', () => {
    const signal = noise(4096);
    const back = signalOfSpectrum(realSpectrum(signal));
    back.forEach((value, n) => {
      expect(Math.abs(value - signal[n]!)).toBeLessThan(ROUNDING);
    });
  });

  test.each([0, 1, 3, 100])('refuses %i samples', size => {
    expect(() => realSpectrum(new Float64Array(size))).toThrow(RangeError);
  });
});

test('a complex spectrum is undone by its inverse', () => {
  const input = noise(512);
  inverseComplexSpectrum(complexSpectrum(input)).forEach((value, n) => {
    expect(Math.abs(value - input[n]!)).toBeLessThan(ROUNDING);
  });
});

test.each([
  [1, 2],
  [2, 2],
  [3, 4],
  [4096, 4096],
  [4097, 8192],
])('%i samples need a transform of %i', (length, size) => {
  expect(fftSizeFor(length)).toBe(size);
});
