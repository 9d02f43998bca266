/** Band levels against IEC 61260-1:2014. Origin of the limits: tests/vectors/iec-61260-1/README.md. */
import { describe, expect, test } from 'vitest';
import { ThirdOctaves } from '../../src/levels/third-octaves.js';
import { csvVectors, limitOf } from '../helpers/csv-vectors.js';
import { bandNoise, sine, swelling } from '../helpers/signals.js';

const NOMINAL_HZ = [
  10, 12.5, 16, 20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800,
  1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000, 10_000, 12_500, 16_000, 20_000,
];

/** G of the standard: an octave. */
const OCTAVE = 10 ** 0.3;

const table = csvVectors('iec-61260-1/table-1.csv', ['exponent', 'minimumDb', 'maximumDb']);

function bandsDb(samples: Float64Array, sampleRateHz: number): Map<number, number> {
  const meter = new ThirdOctaves(sampleRateHz);
  meter.push(samples);
  return new Map(
    meter.finish().map(({ nominalHz, meanSquare }) => [nominalHz, 10 * Math.log10(2 * meanSquare)]),
  );
}

/** A break-point of the octave mask, moved to third-octaves by formula (9). */
function breakPoint(exponent: number): number {
  const third = (OCTAVE ** (1 / 6) - 1) / (OCTAVE ** 0.5 - 1);
  return 1 + third * (OCTAVE ** exponent - 1);
}

/** A limit between two break-points is linear in the logarithm of frequency. */
function limitsAt(ratio: number): { minimumDb: number; maximumDb: number } {
  const distance = Math.abs(Math.log(ratio));
  const points = table.map(row => ({
    at: Math.log(breakPoint(Number.parseFloat(row.exponent))),
    minimumDb: Number(row.minimumDb),
    maximumDb: limitOf(row.maximumDb, Infinity),
  }));
  const above = points.findIndex(({ at }) => at > distance);
  if (above === -1) return points.at(-1)!;
  const [low, high] = [points[above - 1]!, points[above]!];
  const share = (distance - low.at) / (high.at - low.at);
  const between = (a: number, b: number): number => (a === b ? a : a + share * (b - a));
  return {
    minimumDb: between(low.minimumDb, high.minimumDb),
    maximumDb: between(low.maximumDb, high.maximumDb),
  };
}

test('the mask of Table 1 is complete, and formula (9) gives its printed third-octave points', () => {
  expect(table).toHaveLength(10);
  expect(breakPoint(0.5)).toBeCloseTo(1.12202, 5);
  expect(breakPoint(1)).toBeCloseTo(1.29437, 5);
  expect(breakPoint(4)).toBeCloseTo(5.39195, 5);
});

test('there are the 34 bands from 10 Hz to 20 kHz, by their nominal names', () => {
  expect([...bandsDb(new Float64Array(10), 48_000).keys()]).toEqual(NOMINAL_HZ);
  expect([...bandsDb(new Float64Array(10), 8_000).keys()].at(-1)).toBe(4000);
});

describe('a tone is attenuated within class 1, at any distance from the band', () => {
  // Bands of each of the three stages, and their first and last.
  test.each([
    [8_000, 10, 10],
    [8_000, 12.5, 11],
    [44_100, 40, 16],
    [44_100, 500, 27],
    [44_100, 630, 28],
    [44_100, 1000, 30],
    [48_000, 4000, 36],
    [96_000, 12_500, 41],
    [8_000, 100, 20],
    [192_000, 2500, 34],
  ])('at %d Hz, band %d Hz', (sampleRateHz, nominalHz, band) => {
    const middleHz = 10 ** (band / 10);
    const ratios = [0, 0.125, 0.25, 0.375, 0.45, 0.55, 0.75, 1, 1.5, 2, 3, 4, 5]
      .map(breakPoint)
      .flatMap(ratio => [1 / ratio, ratio])
      .filter(ratio => middleHz * ratio < 0.45 * sampleRateHz && middleHz * ratio > 2);
    expect(ratios.length).toBeGreaterThan(12);
    // Long enough that the tone's own width does not fill the skirts.
    const seconds = Math.max(1, 300 / middleHz);
    const levelAt = (hertz: number): number =>
      bandsDb(swelling(sine(hertz, seconds, sampleRateHz)), sampleRateHz).get(nominalHz)!;
    // Mean square of a raised cosine re its crest: 3/8.
    const fullDb = 10 * Math.log10(3 / 8);
    for (const ratio of ratios) {
      const attenuationDb = fullDb - levelAt(middleHz * ratio);
      const { minimumDb, maximumDb } = limitsAt(ratio);
      expect(attenuationDb, `ratio ${ratio}`).toBeGreaterThanOrEqual(minimumDb);
      expect(attenuationDb, `ratio ${ratio}`).toBeLessThanOrEqual(maximumDb);
    }
  });
});

test('the bands of pink noise are level within 0.5 dB and add up to its level within 0.2 dB', () => {
  const noise = bandNoise({
    length: 2 ** 19,
    sampleRateHz: 44_100,
    fromHz: 10 ** 0.95,
    toHz: 10 ** 4.34,
    slope: 1,
    levelDbfs: -20,
    seed: 'pink',
  });
  const bands = bandsDb(noise, 44_100);
  const sum = [...bands.values()].reduce((total, db) => total + 10 ** (db / 10), 0);
  expect(Math.abs(10 * Math.log10(sum) + 20)).toBeLessThan(0.2);
  // 34 bands share the power, less the part of the last above half the sample rate.
  for (const [nominalHz, db] of bands) {
    if (nominalHz >= 100 && nominalHz <= 16_000) {
      expect(Math.abs(db + 20 + 10 * Math.log10(33.9)), `${nominalHz} Hz`).toBeLessThan(0.5);
    }
  }
});

test('the energy of a click is found wherever it falls between frames', () => {
  const sampleRateHz = 48_000;
  for (const at of [0, 1000, 2047, 2048, 5000, 9999]) {
    const samples = new Float64Array(10_000);
    samples[at] = 1;
    const energy = [...bandsDb(samples, sampleRateHz)]
      .filter(([nominalHz]) => nominalHz >= 100)
      .reduce((sum, [, db]) => sum + (10 ** (db / 10) / 2) * samples.length, 0);
    // A click has the same energy at all frequencies: bands 100 Hz to 20 kHz are 89.1 Hz to 22.39 kHz.
    expect(energy).toBeCloseTo((22_387 - 89.1) / 24_000, 2);
  }
});
