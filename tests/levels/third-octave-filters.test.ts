/** Filters of loudness against ISO 532-1:2017, tables A.1 and A.2. Origin: tests/vectors/iso-532-1/README.md. */
import { describe, expect, test } from 'vitest';
import {
  bandLevelDb,
  FRAME_RATE_HZ,
  thirdOctaveFilter,
  ThirdOctaveFilters,
} from '../../src/levels/third-octave-filters.js';
import { LOUDNESS_BANDS_HZ } from '../../src/levels/zwicker-tables.js';
import { gainDb } from '../../src/signal/biquad.js';
import { csvVectors } from '../helpers/csv-vectors.js';
import { tonePa } from '../helpers/pressures.js';
import { join, largestDifference, silence } from '../helpers/signals.js';

const table = csvVectors('iso-532-1/filters-48-khz.csv', [
  'nominalHz',
  'gain',
  'first1',
  'first2',
  'second1',
  'second2',
  'third1',
  'third2',
]);

type Row = (typeof table)[number];

/** The standard's filter; its sections have the numerators (1, 2, 1), (1, 0, -1) and (1, -2, 1). */
function standardGainDb(row: Row, hertz: number): number {
  const section = (b1: number, b2: number, c1: string, c2: string) => ({
    b0: 1,
    b1,
    b2,
    a1: -2 - Number(c1),
    a2: 1 - Number(c2),
  });
  const sections = [
    section(2, 1, row.first1, row.first2),
    section(0, -1, row.second1, row.second2),
    section(-2, 1, row.third1, row.third2),
  ];
  return gainDb(sections, hertz, 48_000) + 20 * Math.log10(Number(row.gain));
}

const middleOf = (nominalHz: string): number =>
  10 ** (Math.round(10 * Math.log10(Number(nominalHz))) / 10);

describe('at 48 kHz the filters are the standard’s', () => {
  test('of which five are here', () => {
    expect(table).toHaveLength(5);
  });

  // The standard's transform moves the upper bands' edges, by up to a tenth of their width; ours does not.
  test.each(table.map(row => [row.nominalHz, row] as const))('%s Hz', (nominalHz, row) => {
    const middleHz = middleOf(nominalHz);
    const filter = thirdOctaveFilter(middleHz, 48_000);
    const toleranceDb = { '4000': 0.7, '12500': 3.9 }[nominalHz] ?? 0.1;
    for (let ratio = 0.8; ratio <= 1.25; ratio += 0.01) {
      const distance =
        gainDb(filter, middleHz * ratio, 48_000) - standardGainDb(row, middleHz * ratio);
      expect(Math.abs(distance), `ratio ${ratio}`).toBeLessThan(toleranceDb);
    }
    expect(standardGainDb(row, middleHz)).toBeCloseTo(0, 1);
    expect(gainDb(filter, middleHz, 48_000)).toBeCloseTo(0, 10);
  });
});

describe('outside their band they attenuate as class 1 of IEC 61260-1:2014, table 1, asks for', () => {
  // Break-points of the standard's mask for third octaves, by its formula (9), and least attenuation.
  const MASK = [
    [1.29437, 16.6],
    [1.88173, 40.5],
    [3.05365, 60],
    [5.39195, 70],
  ] as const;

  // At 44.1 kHz the lower skirt of the uppermost band is 0.2 dB short of 60 dB, two octaves away.
  test.each([
    [44_100, 0.2],
    [48_000, 0],
    [96_000, 0],
    [192_000, 0],
  ])('at %d Hz, within %d dB', (rate, shortDb) => {
    for (const middleHz of LOUDNESS_BANDS_HZ) {
      const filter = thirdOctaveFilter(middleHz, rate);
      expect(gainDb(filter, middleHz, rate)).toBeCloseTo(0, 9);
      for (const [ratio, maskDb] of MASK) {
        const leastDb = maskDb - shortDb;
        expect(-gainDb(filter, middleHz / ratio, rate), `${middleHz} / ${ratio}`).toBeGreaterThan(
          leastDb,
        );
        if (middleHz * ratio > rate / 2) continue;
        expect(-gainDb(filter, middleHz * ratio, rate), `${middleHz} x ${ratio}`).toBeGreaterThan(
          leastDb,
        );
      }
    }
  });
});

describe('frames', () => {
  const samples = join(silence(0.01, 44_100), tonePa(1000, 60, 0.05, 44_100));

  function framesOf(blocks: readonly Float64Array[]): Float64Array {
    const filters = new ThirdOctaveFilters(44_100);
    return join(...blocks.map(block => filters.push(block)));
  }

  test('come every 0.5 ms, the first at the first sample', () => {
    expect(framesOf([samples])).toHaveLength(28 * Math.round(0.06 * FRAME_RATE_HZ));
    expect(framesOf([new Float64Array(1)])).toHaveLength(28);
    expect(framesOf([new Float64Array(0)])).toHaveLength(0);
  });

  test('do not depend on how the sound is cut into blocks', () => {
    const pieces = [1, 22, 23, 500].map((length, i, lengths) => {
      const from = lengths.slice(0, i).reduce((sum, n) => sum + n, 0);
      return samples.subarray(from, from + length);
    });
    const cut = [...pieces, samples.subarray(546)];
    expect(largestDifference(framesOf(cut), framesOf([samples]))).toBe(0);
  });

  test('hold the level of a steady tone in its band, and -26 dB in silence', () => {
    const frames = framesOf([tonePa(1000, 60, 0.3, 44_100)]);
    expect(bandLevelDb(frames[frames.length - 28 + 16]!)).toBeCloseTo(60, 1);
    expect(bandLevelDb(0)).toBeCloseTo(-26.02, 2);
  });
});
