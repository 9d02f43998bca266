/** What loudspeakers without bass take off a sound, against the A-weighting's printed table (IEC 61672-1, table 3). */
import { describe, expect, test } from 'vitest';
import { aWeightedSpectrum, losesItsMark } from '../../src/levels/small-speaker.js';
import { soundOf } from '../../src/signal/sound.js';
import { csvVectors } from '../helpers/csv-vectors.js';
import { bandNoise, sine, swelling } from '../helpers/signals.js';

const RATE_HZ = 44_100;

const table = csvVectors('iec-61672-1/table-3.csv', [
  'band',
  'nominalHz',
  'aDb',
  'cDb',
  'class1LowDb',
  'class1HighDb',
]);
const aDb = (band: number): number => Number(table.find(row => Number(row.band) === band)!.aDb);

const spectrumOf = (samples: Float64Array) => aWeightedSpectrum(soundOf(samples, RATE_HZ))!;

describe('two tones', () => {
  // 199.5 Hz and 1 kHz of one amplitude: A-weighted, the low one has 10^(-10.9 / 10) of the other's energy.
  const low = swelling(sine(10 ** 2.3, 3, RATE_HZ));
  const high = swelling(sine(1000, 3, RATE_HZ));
  const both = spectrumOf(low.map((x, i) => x + high[i]!));

  test('have the share below a frequency that lies between them', () => {
    expect(table).toHaveLength(34);
    const share = 10 ** (aDb(23) / 10);
    expect(both.belowPercent(500)).toBeCloseTo((100 * share) / (1 + share), 1);
    expect(both.belowPercent(100)).toBeCloseTo(0, 3);
    expect(both.belowPercent(2000)).toBeCloseTo(100, 3);
    expect(both.belowPercent(1e6)).toBe(100);
    expect(both.belowPercent(0)).toBe(0);
  });

  test('have the tone of the one that is heard more', () => {
    expect(both.toneHz).toBeCloseTo(1000, 6);
    const lowFirst = spectrumOf(low.map((x, i) => 10 * x + high[i]!));
    expect(lowFirst.toneHz).toBeCloseTo(10 ** 2.3, 6);
  });

  test('lose their mark where the tone is gone, or half of the energy', () => {
    expect(losesItsMark(both, 400)).toBe(false);
    expect(losesItsMark(both, 1100)).toBe(true);
    // 40 % in one tone below, 60 % in two above that are weaker each: the tone is gone, the half is not.
    const [a, b, c] = [low, high, swelling(sine(2000, 3, RATE_HZ))];
    const amplitude = (percent: number, band: number): number =>
      Math.sqrt(percent / 10 ** (aDb(band) / 10));
    const [x, y, z] = [amplitude(40, 23), amplitude(30, 30), amplitude(30, 33)];
    const mixed = spectrumOf(a.map((_, i) => x * a[i]! + y * b[i]! + z * c[i]!));
    expect(mixed.belowPercent(400)).toBeCloseTo(40, 0);
    expect(losesItsMark(mixed, 400)).toBe(true);
    expect(losesItsMark(mixed, 150)).toBe(false);
  });
});

test('pink noise has below each band edge what the printed table adds up to', () => {
  const noise = bandNoise({
    length: 2 ** 17,
    sampleRateHz: RATE_HZ,
    fromHz: 10 ** 1.25,
    toHz: 10 ** 4.35,
    slope: 1,
    levelDbfs: -20,
    seed: 'pink',
  });
  const { belowPercent } = spectrumOf(noise);
  const weight = (from: number, to: number): number => {
    let sum = 0;
    for (let band = from; band <= to; band++) sum += 10 ** (aDb(band) / 10);
    return sum;
  };
  for (const last of [20, 23, 25, 26, 30]) {
    const expected = (100 * weight(13, last)) / weight(13, 43);
    const edgeHz = 10 ** ((last + 0.5) / 10);
    // The weight at a band's middle is not quite its mean: 0.15 dB, or 3 % of the share.
    expect(Math.abs(belowPercent(edgeHz) / expected - 1), `${edgeHz} Hz`).toBeLessThan(0.03);
  }
});

test('silence has no spectrum, and what is empty or far too long is refused', () => {
  expect(aWeightedSpectrum(soundOf(new Float64Array(1000)))).toBeUndefined();
  expect(() => aWeightedSpectrum(soundOf(new Float64Array(0)))).toThrow(RangeError);
  expect(() => aWeightedSpectrum({ ...soundOf(new Float64Array(1)), length: 1e8 })).toThrow(
    RangeError,
  );
});
