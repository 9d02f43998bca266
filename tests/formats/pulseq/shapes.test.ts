/** Shapes: the worked examples of the format's specification, and round trips of a slow coder. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { PulseqShape } from '../../../src/formats/pulseq/sequence.js';
import { shapeKnots } from '../../../src/formats/pulseq/shapes.js';

const shape = (length: number, stored: readonly number[], compressed = true): PulseqShape => ({
  id: 1,
  length,
  stored: Float64Array.from(stored),
  compressed,
});

/** Every sample, from the corners. */
function samplesOf(coded: PulseqShape): number[] {
  const { indices, values } = shapeKnots(coded);
  return Array.from({ length: coded.length }, (_, n) => {
    const knot = indices.findIndex(index => index >= n);
    if (indices[knot] === n) return values[knot]!;
    const share = (n - indices[knot - 1]!) / (indices[knot]! - indices[knot - 1]!);
    return values[knot - 1]! + share * (values[knot]! - values[knot - 1]!);
  });
}

/** Differences, runs of equal ones as two of them and the count of the rest. */
function compress(samples: readonly number[]): number[] {
  const differences = samples.map((value, i) => value - (samples[i - 1] ?? 0));
  const coded: number[] = [];
  for (let i = 0; i < differences.length;) {
    let end = i;
    while (end < differences.length && differences[end] === differences[i]) end += 1;
    coded.push(...differences.slice(i, Math.min(end, i + 2)));
    if (end - i >= 2) coded.push(end - i - 2);
    i = end;
  }
  return coded;
}

describe('the examples of the specification (section "Compression", examples 1 to 3)', () => {
  test('a ramp up, a plateau and a ramp down', () => {
    const coded = shape(15, [0, 0.1, 0.15, 0.25, 0.5, 0, 0, 4, -0.25, -0.25, 2]);
    const expected = [0, 0.1, 0.25, 0.5, 1, 1, 1, 1, 1, 1, 1, 0.75, 0.5, 0.25, 0];
    samplesOf(coded).forEach((value, n) => {
      expect(value).toBeCloseTo(expected[n]!, 14);
    });
  });

  test('a hundred zeros', () => {
    expect(samplesOf(shape(100, [0, 0, 98]))).toEqual(new Array(100).fill(0));
  });

  test('a hundred ones', () => {
    expect(samplesOf(shape(100, [1, 0, 0, 97]))).toEqual(new Array(100).fill(1));
  });
});

test('decompressing undoes compressing', () => {
  // Multiples of 1/64 add up without rounding.
  const samples = fc.array(
    fc.integer({ min: -64, max: 64 }).map(n => n / 64),
    { minLength: 1, maxLength: 60 },
  );
  const repeated = samples.chain(values =>
    fc.array(fc.nat(values.length - 1), { minLength: 1, maxLength: 60 }).map(order => {
      return order.sort((a, b) => a - b).map(i => values[i]!);
    }),
  );
  fc.assert(
    fc.property(fc.oneof(samples, repeated), values => {
      const decoded = samplesOf(shape(values.length, compress(values)));
      decoded.forEach((value, n) => {
        expect(value).toBeCloseTo(values[n]!, 12);
      });
    }),
    { seed: 1, numRuns: 500 },
  );
});

test('a shape that is not compressed is its samples', () => {
  expect(samplesOf(shape(4, [0.5, 0.5, 0.25, 1], false))).toEqual([0.5, 0.5, 0.25, 1]);
});

test('a thousand million samples on one line are two corners', () => {
  const { indices, values } = shapeKnots(shape(1e9, [0, 0, 1e9 - 2]));
  expect(Array.from(indices)).toEqual([0, 1e9 - 1]);
  expect(Array.from(values)).toEqual([0, 0]);
});
