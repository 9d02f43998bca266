/** Diffusion shells from b-values. */
import { expect, test } from 'vitest';
import { readShells } from '../../src/import/shells.js';

const values = (bValues: readonly number[]) =>
  Object.fromEntries(Object.entries(readShells(bValues)).map(([name, { value }]) => [name, value]));

test('finds shells, directions of the largest, and volumes', () => {
  const bValues = [0, 1000, 1000, 2000, 2000, 2000, 0];
  expect(values(bValues)).toEqual({
    DiffusionBValues: [0, 1000, 2000],
    NumberOfDirections: 3,
    NumberOfVolumes: 7,
  });
});

test('takes what scanners write for a shell as that shell: 5 for 0, 995 and 1005 for 1000', () => {
  expect(values([5, 0, 995, 1005, 1000, 1990, 2010])['DiffusionBValues']).toEqual([0, 1000, 2000]);
});

test('has no direction without weighting and says nothing without b-values', () => {
  expect(values([0, 0])).toEqual({ DiffusionBValues: [0], NumberOfVolumes: 2 });
  expect(readShells([])).toEqual({});
  expect(readShells(undefined)).toEqual({});
});
