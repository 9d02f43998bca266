/** Sections in series against their definition: the difference equation, and its transfer function. */
import { describe, expect, test } from 'vitest';
import { type Biquad, BiquadCascade, flushDenormal, gainDb } from '../../src/signal/biquad.js';
import { realSpectrum } from '../../src/signal/fft.js';
import { seededRandom } from '../../src/signal/random.js';

const SECTIONS: readonly Biquad[] = [
  { b0: 0.5, b1: -0.3, b2: 0.2, a1: -0.9, a2: 0.6 },
  { b0: 1, b1: -2, b2: 1, a1: -1.6, a2: 0.7 },
];

function byDefinition({ b0, b1, b2, a1, a2 }: Biquad, x: Float64Array): Float64Array {
  const y = new Float64Array(x.length);
  const at = (samples: Float64Array, i: number): number => (i < 0 ? 0 : samples[i]!);
  for (let i = 0; i < x.length; i++) {
    y[i] =
      b0 * x[i]! + b1 * at(x, i - 1) + b2 * at(x, i - 2) - a1 * at(y, i - 1) - a2 * at(y, i - 2);
  }
  return y;
}

describe('BiquadCascade', () => {
  test('gives what the difference equation gives, in blocks of any size', () => {
    const random = seededRandom('biquad');
    const input = Float64Array.from({ length: 500 }, () => random.normal());
    const expected = byDefinition(SECTIONS[1]!, byDefinition(SECTIONS[0]!, input));
    const cascade = new BiquadCascade(SECTIONS);
    const output = new Float64Array(input.length);
    for (let from = 0, size = 1; from < input.length; from += size, size = 1 + ((size * 7) % 60)) {
      const block = input.subarray(from, from + size);
      cascade.process(block, output.subarray(from, from + block.length));
    }
    for (let i = 0; i < input.length; i++) expect(output[i]).toBeCloseTo(expected[i]!, 12);
  });

  test('gainDb is the magnitude of the impulse response’s spectrum', () => {
    const impulse = new Float64Array(4096);
    impulse[0] = 1;
    new BiquadCascade(SECTIONS).process(impulse, impulse);
    const spectrum = realSpectrum(impulse);
    for (const bin of [1, 100, 1000, 2000]) {
      const magnitude = Math.hypot(spectrum[2 * bin]!, spectrum[2 * bin + 1]!);
      expect(gainDb(SECTIONS, bin, 4096)).toBeCloseTo(20 * Math.log10(magnitude), 8);
    }
  });

  test('an output that is too short is refused', () => {
    expect(() => {
      new BiquadCascade(SECTIONS).process(new Float64Array(3), new Float64Array(2));
    }).toThrow('output must hold 3 samples, got 2');
  });
});

test('flushDenormal keeps what can be heard and drops what only costs time', () => {
  expect(flushDenormal(1e-12)).toBe(1e-12);
  expect(flushDenormal(-1e-12)).toBe(-1e-12);
  expect(flushDenormal(1e-31)).toBe(0);
});
