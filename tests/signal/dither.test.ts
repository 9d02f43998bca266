/** Dither against the moments of a triangular distribution from -1 to 1. */
import { expect, test } from 'vitest';
import { triangularDither } from '../../src/signal/dither.js';

test('mean 0, variance 1/6, never beyond one step, fixed by its seed', () => {
  const count = 200_000;
  const draw = triangularDither('seed');
  const values = Array.from({ length: count }, draw);
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  const variance = values.reduce((sum, value) => sum + value * value, 0) / count;
  // Four standard errors of the mean and of the variance.
  expect(Math.abs(mean)).toBeLessThan(4 * Math.sqrt(1 / 6 / count));
  expect(Math.abs(variance - 1 / 6)).toBeLessThan(4 * Math.sqrt((1 / 15 - 1 / 36) / count));
  expect(Math.max(...values.map(Math.abs).slice(0, 10_000))).toBeLessThan(1);
  const again = triangularDither('seed');
  expect(values.slice(0, 100)).toEqual(Array.from({ length: 100 }, again));
  const other = triangularDither('another');
  expect(values.slice(0, 100)).not.toEqual(Array.from({ length: 100 }, other));
});
