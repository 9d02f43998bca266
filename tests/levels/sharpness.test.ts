/** Sharpness against DIN 45692:2009. Origin of the values: tests/vectors/din-45692/README.md. */
import { describe, expect, test } from 'vitest';
import { loudnessOverTime } from '../../src/levels/loudness-over-time.js';
import { sharpnessAcum } from '../../src/levels/sharpness.js';
import { steadyBandLevelsDb, steadyLoudness } from '../../src/levels/steady-loudness.js';
import { zwickerLoudness } from '../../src/levels/zwicker-loudness.js';
import { soundOf } from '../../src/signal/sound.js';
import { csvVectors } from '../helpers/csv-vectors.js';
import { noisePa } from '../helpers/pressures.js';

const SAMPLE_RATE_HZ = 48_000;

/** What the standard permits (clause 6): 5 % or 0.05 acum. */
const permitted = (acum: number): number => Math.max(0.05 * acum, 0.05);

const COLUMNS = ['fromHz', 'toHz', 'acum'] as const;

interface NoiseBand {
  readonly fromHz: number;
  readonly toHz: number;
  readonly acum: number;
}

const tableOf = (file: string): NoiseBand[] =>
  csvVectors(`din-45692/${file}`, COLUMNS).map(row => ({
    fromHz: Number(row.fromHz),
    toHz: Number(row.toHz),
    acum: Number(row.acum),
  }));

const narrow = tableOf('table-a2.csv');
const broad = tableOf('table-a3.csv');

const noise = (fromHz: number, toHz: number, levelDb = 60): Float64Array =>
  noisePa({ fromHz, toHz, levelDb, seconds: 1, sampleRateHz: SAMPLE_RATE_HZ });

/** Specific loudness of band levels moved together until the sound has a loudness. */
function atLoudness(levelsDb: Float64Array, sone: number): Float64Array {
  let [low, high] = [-100, 60];
  while (high - low > 1e-6) {
    const middle = (low + high) / 2;
    const moved = levelsDb.map(level => Math.min(120, level + middle));
    if (zwickerLoudness(moved).sone < sone) low = middle;
    else high = middle;
  }
  return zwickerLoudness(levelsDb.map(level => level + high)).specific;
}

function sharpnessOf({ fromHz, toHz }: NoiseBand): number {
  const sound = soundOf(noise(fromHz, toHz), SAMPLE_RATE_HZ);
  return sharpnessAcum(atLoudness(steadyBandLevelsDb(sound), 4));
}

test('the tables are complete', () => {
  expect(narrow).toHaveLength(21);
  expect(broad).toHaveLength(20);
});

describe('the reference sound, noise from 920 to 1080 Hz of 60 dB', () => {
  const reference = soundOf(noise(920, 1080), SAMPLE_RATE_HZ);

  test('has 1 acum', () => {
    const acum = sharpnessAcum(steadyLoudness(reference).specific);
    expect(Math.abs(acum - 1)).toBeLessThan(0.03);
    // Seen: 1.000. The factor was chosen for it, as the standard says, within the standard's limits.
    expect(Math.abs(acum - 1)).toBeLessThan(0.003);
  });

  test('has the same over time', () => {
    const { meanSpecific } = loudnessOverTime(reference);
    expect(Math.abs(sharpnessAcum(meanSpecific) - 1)).toBeLessThan(0.05);
  });
});

describe('noise of 4 sone', () => {
  const met = [...narrow, ...broad].map(row => ({ ...row, ours: sharpnessOf(row) }));

  test.each(met)('from $fromHz to $toHz Hz has $acum acum', ({ acum, ours }) => {
    expect(Math.abs(ours - acum)).toBeLessThan(permitted(acum));
  });

  test('is met within 4 % in both tables', () => {
    // Seen: 3.4 % at most, 2 % on average, all low: what makes the reference sound 1 acum makes them so.
    const worst = met.map(({ acum, ours }) => Math.abs(ours / acum - 1));
    expect(Math.max(...worst)).toBeLessThan(0.04);
  });
});

test('silence has none, and a pattern of another size is refused', () => {
  expect(sharpnessAcum(new Float64Array(240))).toBe(0);
  expect(() => sharpnessAcum(new Float64Array(24))).toThrow(
    new RangeError('specific must hold 240 values, got 24'),
  );
});
