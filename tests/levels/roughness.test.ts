/** Roughness against published listening tests. Origin: tests/vectors/daniel-weber-1997/README.md. */
import { describe, expect, test } from 'vitest';
import { barkOf } from '../../src/levels/excitation.js';
import { channelWeight, modulationWeight } from '../../src/levels/modulation-weights.js';
import { roughness } from '../../src/levels/roughness.js';
import { soundOf } from '../../src/signal/sound.js';
import { csvVectors } from '../helpers/csv-vectors.js';
import { atLevelPa, modulatedPa, noisePa, tonePa } from '../helpers/pressures.js';
import { join, silence } from '../helpers/signals.js';

const SAMPLE_RATE_HZ = 44_100;

/** Just noticeable difference of roughness (E. Zwicker and H. Fastl, Psychoacoustics, 1999, chapter 11). */
const NOTICEABLE = 0.17;

const figure3 = csvVectors('daniel-weber-1997/figure-3.csv', [
  'carrierHz',
  'modulationHz',
  'asper',
]).map(row => ({
  carrierHz: Number(row.carrierHz),
  modulationHz: Number(row.modulationHz),
  asper: Number(row.asper),
}));

const asperOf = (samples: Float64Array, sampleRateHz = SAMPLE_RATE_HZ): number =>
  roughness(soundOf(samples, sampleRateHz)).meanAsper;

const modulated = (
  carrierHz: number,
  modulationHz: number,
  { levelDb = 60, depth = 1, sampleRateHz = SAMPLE_RATE_HZ } = {},
): number =>
  asperOf(
    modulatedPa({ carrierHz, modulationHz, depth, levelDb, seconds: 0.5, sampleRateHz }),
    sampleRateHz,
  );

test.each([32_000, 44_100, 48_000, 96_000])(
  'the reference sound, 1 kHz of 60 dB modulated at 70 Hz, has 1 asper at %d Hz',
  sampleRateHz => {
    expect(Math.abs(modulated(1000, 70, { sampleRateHz }) - 1)).toBeLessThan(0.05);
  },
);

describe('listening tests of figure 3', () => {
  const met = figure3.map(row => ({
    ...row,
    distance: modulated(row.carrierHz, row.modulationHz) - row.asper,
  }));

  test('are 70 points of 7 carriers', () => {
    expect(met).toHaveLength(70);
    expect(new Set(met.map(({ carrierHz }) => carrierHz)).size).toBe(7);
  });

  test('are met within 0.2 asper everywhere, and within 0.08 asper on average', () => {
    for (const { carrierHz, modulationHz, distance } of met) {
      expect(Math.abs(distance), `${carrierHz} Hz at ${modulationHz} Hz`).toBeLessThan(0.2);
    }
    const mean = met.reduce((sum, { distance }) => sum + Math.abs(distance), 0) / met.length;
    expect(mean).toBeLessThan(0.08);
  });

  test('are met within what is noticeable, or 0.05 asper, at 1 kHz up to 100 Hz', () => {
    const rows = met.filter(
      ({ carrierHz, modulationHz }) => carrierHz === 1000 && modulationHz <= 100,
    );
    expect(rows).toHaveLength(8);
    for (const { modulationHz, asper, distance } of rows) {
      expect(Math.abs(distance), `${modulationHz} Hz`).toBeLessThan(
        Math.max(NOTICEABLE * asper, 0.05),
      );
    }
  });

  test.each([125, 250, 500, 1000, 2000, 4000, 8000])(
    'have their maximum at the same speed within 10 Hz, at %d Hz',
    carrierHz => {
      const rows = met.filter(row => row.carrierHz === carrierHz);
      const loudestBy = (of: (row: (typeof rows)[number]) => number): number =>
        rows.reduce((a, b) => (of(b) > of(a) ? b : a)).modulationHz;
      const published = loudestBy(({ asper }) => asper);
      const ours = loudestBy(({ asper, distance }) => asper + distance);
      expect(Math.abs(ours - published)).toBeLessThanOrEqual(10);
    },
  );
});

describe('the curve over the speed of modulation at 1 kHz', () => {
  test('falls to a fifth at 20 Hz, a tenth at 15 Hz and next to nothing at 10 and 300 Hz', () => {
    // E. Zwicker and H. Fastl, Psychoacoustics, 1999, figure 11.2: 0.1 asper at about 15 and 250 Hz.
    // From memory.
    expect(Math.abs(modulated(1000, 20) - 0.2)).toBeLessThan(0.05);
    expect(Math.abs(modulated(1000, 15) - 0.1)).toBeLessThan(0.05);
    expect(modulated(1000, 10)).toBeLessThan(0.05);
    expect(modulated(1000, 250)).toBeLessThan(0.1);
    expect(modulated(1000, 300)).toBeLessThan(0.05);
  });

  test('has its maximum near 70 Hz', () => {
    const at = [40, 50, 60, 70, 80, 90, 100, 120];
    const values = at.map(hertz => modulated(1000, hertz));
    const best = at[values.indexOf(Math.max(...values))]!;
    expect(Math.abs(best - 70)).toBeLessThanOrEqual(10);
  });
});

describe('depth of modulation', () => {
  test.each([0.25, 0.4, 0.5, 0.75, 1])(
    'of %d at 70 dB gives 1.36 asper times its power of 1.6 within what is noticeable, or 0.1 asper',
    depth => {
      // Daniel and Weber, figure 5: 1.36 m^1.6 for 1 kHz, 70 Hz, 70 dB.
      const expected = 1.36 * depth ** 1.6;
      const asper = modulated(1000, 70, { depth, levelDb: 70 });
      expect(Math.abs(asper - expected)).toBeLessThan(Math.max(NOTICEABLE * expected, 0.1));
    },
  );

  test('raises roughness from nothing, in steps without a fall', () => {
    const values = [0, 0.1, 0.2, 0.4, 0.6, 0.8, 1].map(depth => modulated(1000, 70, { depth }));
    expect(values[0]).toBeLessThan(0.001);
    for (let i = 1; i < values.length; i++) expect(values[i]).toBeGreaterThan(values[i - 1]!);
  });
});

describe('noise of 70 dB', () => {
  const white = noisePa({
    fromHz: 20,
    toHz: 20_000,
    levelDb: 70,
    seconds: 2,
    sampleRateHz: SAMPLE_RATE_HZ,
  });

  test('is not rough by itself: below the 0.07 asper that can be heard', () => {
    // Daniel and Weber report 0.02 asper of their model and a threshold of 0.07.
    expect(asperOf(white)).toBeLessThan(0.07);
  });

  test('is very rough when modulated at 70 Hz: about 3 asper', () => {
    // Daniel and Weber report about 3 of their model; here it is 2.4 to 2.5.
    const rough = atLevelPa(
      white.map((x, i) => x * (1 + Math.cos((2 * Math.PI * 70 * i) / SAMPLE_RATE_HZ))),
      70,
    );
    const asper = asperOf(rough);
    expect(asper).toBeGreaterThan(2.2);
    expect(asper).toBeLessThan(3.3);
  });
});

test('a steady tone, two tones far apart and silence are not rough', () => {
  expect(asperOf(tonePa(1000, 60, 0.5, SAMPLE_RATE_HZ))).toBeLessThan(0.001);
  const far = tonePa(3000, 60, 0.5, SAMPLE_RATE_HZ);
  expect(asperOf(tonePa(500, 60, 0.5, SAMPLE_RATE_HZ).map((x, i) => x + far[i]!))).toBeLessThan(
    0.01,
  );
  expect(asperOf(silence(0.5, SAMPLE_RATE_HZ))).toBe(0);
});

test('a window is measured every half window, however the sound is cut into blocks', () => {
  const samples = modulatedPa({
    carrierHz: 1000,
    modulationHz: 70,
    levelDb: 60,
    seconds: 0.7,
    sampleRateHz: SAMPLE_RATE_HZ,
  });
  const whole = roughness(soundOf(samples, SAMPLE_RATE_HZ));
  expect(whole.asper).toHaveLength(Math.floor((samples.length - 8192) / 4096) + 1);
  const pieces = [samples.subarray(0, 5), samples.subarray(5, 20_000), samples.subarray(20_000)];
  const cut = roughness({
    sampleRateHz: SAMPLE_RATE_HZ,
    length: samples.length,
    blocks: () => pieces,
  });
  expect(join(...pieces)).toEqual(samples);
  expect(cut.asper).toEqual(whole.asper);
});

test('a sound shorter than a window and a low sample rate are refused', () => {
  const short = soundOf(new Float64Array(8191), SAMPLE_RATE_HZ);
  expect(() => roughness(short)).toThrow(
    new RangeError('sound must hold at least 8192 samples, got 8191'),
  );
  expect(() => roughness(soundOf(new Float64Array(8192), 22_050))).toThrow('sampleRateHz must be');
});

test('tables of the model are read on straight lines, and the critical-band rate is Zwicker’s', () => {
  // H21 and g at and between break-points (Daniel and Weber, figure 2).
  expect(modulationWeight(21, 75)).toBe(1);
  expect(modulationWeight(21, 9.5)).toBeCloseTo(0.2, 12);
  expect(modulationWeight(1, 400)).toBe(0);
  expect(channelWeight(18)).toBe(0.98);
  expect(channelWeight(1)).toBeCloseTo(0.205, 12);
  // Critical-band rates of E. Zwicker, J. Acoust. Soc. Am. 33, 1961, 248: edges at whole Bark.
  for (const [hertz, bark] of [
    [100, 1],
    [510, 5],
    [1080, 9],
    [2000, 13],
    [3700, 17],
    [6400, 20],
    [12_000, 23],
  ] as const) {
    expect(Math.abs(barkOf(hertz) - bark), `${hertz} Hz`).toBeLessThan(0.2);
  }
});
