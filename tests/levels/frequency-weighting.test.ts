/** Analogue weightings against IEC 61672-1 Table 3. Origin of the vectors: tests/vectors/iec-61672-1/README.md. */
import { describe, expect, test } from 'vitest';
import {
  aWeightingDb,
  cWeightingDb,
  WEIGHTING_POLES_HZ,
} from '../../src/levels/frequency-weighting.js';
import { csvVectors } from '../helpers/csv-vectors.js';

/** Table 3 prints one decimal; -13.3503 at 160 Hz is the value nearest to a tie. */
const TABLE_ROUNDING_DB = 0.0504;

const table = csvVectors('iec-61672-1/table-3.csv', [
  'band',
  'nominalHz',
  'aDb',
  'cDb',
  'class1LowDb',
  'class1HighDb',
]);

test('Table 3 has all 34 bands from 10 Hz to 20 kHz', () => {
  expect(table).toHaveLength(34);
  expect(table[0]!.nominalHz).toBe('10');
  expect(table[33]!.nominalHz).toBe('20000');
});

test.each(table)('at $nominalHz Hz A is $aDb dB and C is $cDb dB', ({ band, aDb, cDb }) => {
  const hertz = 10 ** (Number(band) / 10);
  expect(Math.abs(aWeightingDb(hertz) - Number(aDb))).toBeLessThanOrEqual(TABLE_ROUNDING_DB);
  expect(Math.abs(cWeightingDb(hertz) - Number(cDb))).toBeLessThanOrEqual(TABLE_ROUNDING_DB);
});

describe('by definition', () => {
  test('both are 0 dB at 1 kHz and nothing at 0 Hz', () => {
    expect(aWeightingDb(1000)).toBe(0);
    expect(cWeightingDb(1000)).toBe(0);
    expect(aWeightingDb(0)).toBe(-Infinity);
    expect(cWeightingDb(0)).toBe(-Infinity);
  });

  // IEC 61672-1, 5.5: f_L = 10^1.5 Hz and f_H = 10^3.9 Hz are where C is 3 dB down.
  test.each([[10 ** 1.5], [10 ** 3.9]])('C at %f Hz is 10 lg(1/2)', hertz => {
    expect(cWeightingDb(hertz)).toBeCloseTo(10 * Math.log10(1 / 2), 9);
  });

  test('the poles round to those the standard prints', () => {
    const { f1, f2, f3, f4 } = WEIGHTING_POLES_HZ;
    expect([f1.toFixed(2), f2.toFixed(1), f3.toFixed(1), f4.toFixed(0)]).toEqual([
      '20.60',
      '107.7',
      '737.9',
      '12194',
    ]);
  });
});
