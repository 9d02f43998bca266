/** Seeded randomness: repeatable, and distributed as it says. */
import { expect, test } from 'vitest';
import { seededRandom } from '../../src/signal/random.js';

const DRAWS = 100_000;

test('the same seed gives the same stream, another seed another', () => {
  const stream = (seed: string): number[] => {
    const random = seededRandom(seed);
    return Array.from({ length: 50 }, () => random.uniform());
  };
  expect(stream('a')).toEqual(stream('a'));
  expect(stream('a')).not.toEqual(stream('b'));
  expect(stream('kit 1')).not.toEqual(stream('kit 2'));
});

test('uniform numbers fill [0, 1) evenly', () => {
  const random = seededRandom('uniform');
  const counts = new Array<number>(10).fill(0);
  for (let i = 0; i < DRAWS; i++) {
    const value = random.uniform();
    // A value outside [0, 1) would fall into no bin, and the counts would not sum up.
    const bin = Math.floor(value * 10);
    if (bin in counts) counts[bin]! += 1;
  }
  expect(counts.reduce((sum, n) => sum + n, 0)).toBe(DRAWS);
  // Chi-square with 9 degrees of freedom: 27.9 is passed by chance once in a thousand seeds.
  const chiSquare = counts.reduce((sum, n) => sum + (n - DRAWS / 10) ** 2 / (DRAWS / 10), 0);
  expect(chiSquare).toBeLessThan(27.9);
});

test('normal numbers have mean 0, variance 1 and the right tails', () => {
  const random = seededRandom('normal');
  const draws = Array.from({ length: DRAWS }, () => random.normal());
  const mean = draws.reduce((sum, x) => sum + x, 0) / DRAWS;
  const variance = draws.reduce((sum, x) => sum + (x - mean) ** 2, 0) / DRAWS;
  const beyondTwo = draws.filter(x => Math.abs(x) > 2).length / DRAWS;
  expect(Math.abs(mean)).toBeLessThan(0.015);
  expect(Math.abs(variance - 1)).toBeLessThan(0.02);
  // 4.55 % of a normal distribution lies beyond two standard deviations.
  expect(Math.abs(beyondTwo - 0.0455)).toBeLessThan(0.003);
});
