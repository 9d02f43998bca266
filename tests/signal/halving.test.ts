/** Halving the rate against the sum that defines it, and its gain against tones. */
import { describe, expect, test } from 'vitest';
import { Halving, halvingGain, type HalvingZeros } from '../../src/signal/halving.js';
import { seededRandom } from '../../src/signal/random.js';
import { sine } from '../helpers/signals.js';

/** Rounding of sums of numbers of size 1. */
const ROUNDING = 1e-14;

/** Rows of Pascal's triangle. */
const BINOMIALS = { 4: [1, 4, 6, 4, 1], 8: [1, 8, 28, 56, 70, 56, 28, 8, 1] } as const;

const random = seededRandom('halving');

/** Every second sample under the binomial weights, after silence. */
function definition(samples: Float64Array, zeros: HalvingZeros): number[] {
  const padded = [...new Float64Array(zeros), ...samples];
  const outputs: number[] = [];
  for (let from = 0; from + zeros < padded.length; from += 2) {
    outputs.push(
      BINOMIALS[zeros].reduce((sum, weight, k) => sum + weight * padded[from + k]!, 0) / 2 ** zeros,
    );
  }
  return outputs;
}

function halved(samples: Float64Array, zeros: HalvingZeros, sizes: () => number): number[] {
  const halving = new Halving(zeros);
  const outputs: number[] = [];
  for (let from = 0; from < samples.length;) {
    const size = sizes();
    outputs.push(...halving.push(samples.subarray(from, from + size)));
    from += size;
  }
  return outputs;
}

describe.each([4, 8] as const)('with %i zeros', zeros => {
  test.each([
    ['whole pieces', 20_000, () => 4096],
    ['single samples', 50, () => 1],
    ['pieces of any length', 20_000, () => 1 + Math.floor(300 * random.uniform())],
  ])('is the sum that defines it, in %s', (_, length, sizes) => {
    const samples = Float64Array.from({ length }, () => random.normal());
    const expected = definition(samples, zeros);
    const outputs = halved(samples, zeros, sizes);
    expect(outputs).toHaveLength(expected.length);
    outputs.forEach((output, i) => {
      expect(Math.abs(output - expected[i]!), `output ${i}`).toBeLessThan(ROUNDING);
    });
  });

  test.each([0.01, 0.1, 0.2, 0.24])('has its gain at %f of the rate', frequency => {
    const rms = (samples: readonly number[]): number =>
      Math.hypot(...samples) / Math.sqrt(samples.length);
    const tone = sine(frequency, 10_000, 1);
    // The silence before is behind after the first few.
    const gain = rms(halved(tone, zeros, () => 4096).slice(zeros)) / rms([...tone]);
    expect(Math.abs(gain ** 2 / halvingGain(frequency, zeros) - 1)).toBeLessThan(0.01);
  });
});

test('two halvings do not know of each other', () => {
  const samples = Float64Array.from({ length: 1000 }, () => random.normal());
  const [one, other] = [new Halving(4), new Halving(8)];
  const outputs = [...one.push(samples.subarray(0, 333))];
  other.push(samples);
  outputs.push(...one.push(samples.subarray(333)));
  expect(outputs).toEqual(halved(samples, 4, () => 1000));
});
