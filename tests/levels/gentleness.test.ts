/** The order of sounds from gentle to hard. */
import { describe, expect, test } from 'vitest';
import { hardnessOf, type RankedSound, rankSounds } from '../../src/levels/gentleness.js';
import { loudnessOverTime } from '../../src/levels/loudness-over-time.js';
import { measureSound } from '../../src/levels/measure-sound.js';
import { dbfsToDbSpl } from '../../src/levels/scan-levels.js';
import { soundOf } from '../../src/signal/sound.js';
import { atLevelPa, modulatedPa, noisePa, tonePa } from '../helpers/pressures.js';
import { join, silence } from '../helpers/signals.js';

const SAMPLE_RATE_HZ = 44_100;

const named = (name: string, samples: Float64Array): Parameters<typeof rankSounds>[0][number] => ({
  name,
  sound: soundOf(samples, SAMPLE_RATE_HZ),
});

const tone = (hertz: number, seconds = 1): Float64Array =>
  tonePa(hertz, 60, seconds, SAMPLE_RATE_HZ);

const modulated = (modulationHz: number, depth = 1): Float64Array =>
  modulatedPa({
    carrierHz: 1000,
    modulationHz,
    depth,
    levelDb: 60,
    seconds: 1,
    sampleRateHz: SAMPLE_RATE_HZ,
  });

const noise = (fromHz: number, toHz: number): Float64Array =>
  noisePa({ fromHz, toHz, levelDb: 60, seconds: 1, sampleRateHz: SAMPLE_RATE_HZ });

const namesOf = (ranked: readonly RankedSound[]): readonly string[] =>
  ranked.map(({ name }) => name);

describe('one number for the four', () => {
  const numbers = {
    loudnessSone: 10,
    sharpnessAcum: 2.5,
    roughnessAsper: 1,
    startDb: 0,
    laterDb: 0,
  };

  test('is psychoacoustic annoyance where nothing is sudden', () => {
    // By hand, from the formula that Zwicker and Fastl print: wS = 0.75 lg(20) / 4 = 0.24394,
    // wFR = 2.18 / 10^0.4 x 0.6 = 0.52072, PA = 10 (1 + sqrt(0.33065)) = 15.750.
    expect(hardnessOf(numbers)).toBeCloseTo(15.75, 3);
  });

  test('is the loudness of a dull, smooth sound that swells', () => {
    expect(hardnessOf({ ...numbers, sharpnessAcum: 1.75, roughnessAsper: 0 })).toBe(10);
    expect(hardnessOf({ ...numbers, loudnessSone: 0 })).toBe(0);
  });

  test('rises with each of them', () => {
    for (const more of [
      { loudnessSone: 11 },
      { sharpnessAcum: 2.6 },
      { roughnessAsper: 1.1 },
      { startDb: 10 },
      { laterDb: 10 },
    ]) {
      expect(hardnessOf({ ...numbers, ...more }), JSON.stringify(more)).toBeGreaterThan(
        hardnessOf(numbers),
      );
    }
  });

  test('counts a jump of 40 dB at start and later as 1 asper at 10 sone', () => {
    const jump = { ...numbers, sharpnessAcum: 1, roughnessAsper: 0, startDb: 40, laterDb: 40 };
    expect(hardnessOf(jump) / hardnessOf({ ...numbers, sharpnessAcum: 1 })).toBeCloseTo(1, 2);
  });
});

describe('sounds of one level', () => {
  test('are the harder the rougher they are', () => {
    const ranked = rankSounds([
      named('rough', modulated(70)),
      named('smooth', tone(1000)),
      named('half', modulated(70, 0.5)),
    ]);
    expect(namesOf(ranked)).toEqual(['smooth', 'half', 'rough']);
    expect(ranked[2]!.roughnessAsper).toBeGreaterThan(0.9);
  });

  test('are the harder the sharper they are', () => {
    const ranked = rankSounds([
      named('hiss', noise(4000, 10_000)),
      named('hum', noise(300, 800)),
      named('rush', noise(300, 10_000)),
    ]);
    expect(ranked[0]!.name).toBe('hum');
    const sharpness = Object.fromEntries(
      ranked.map(({ name, sharpnessAcum }) => [name, sharpnessAcum]),
    ) as Record<'hiss' | 'hum' | 'rush', number>;
    expect(sharpness.hum).toBeLessThan(1);
    expect(sharpness.rush).toBeGreaterThan(2);
    expect(sharpness.hiss).toBeGreaterThan(4);
  });

  test('are the harder the more suddenly they start, and start again', () => {
    const swell = tone(400, 2).map((x, i) => x * Math.min(1, i / (1.5 * SAMPLE_RATE_HZ)));
    const again = join(
      ...Array.from({ length: 4 }, () => [tone(400, 0.4), silence(0.1, SAMPLE_RATE_HZ)]).flat(),
    );
    const ranked = rankSounds([
      named('again', again),
      named('sudden', tone(400, 2)),
      named('swell', swell),
    ]);
    const sudden = Object.fromEntries(
      ranked.map(({ name, startDb, laterDb }) => [name, startDb + laterDb]),
    ) as Record<'again' | 'sudden' | 'swell', number>;
    expect(sudden.swell).toBeLessThan(sudden.sudden);
    expect(sudden.sudden).toBeLessThan(sudden.again);
    expect(ranked.at(-1)!.name).toBe('again');
  });

  test('are in the order of their names when they are equal', () => {
    const samples = tone(1000);
    expect(namesOf(rankSounds([named('b', samples), named('a', samples)]))).toEqual(['a', 'b']);
  });
});

test('how loud a sound comes does not matter: all are brought to 60 dB(A)', () => {
  const soft = rankSounds([named('x', atLevelPa(modulated(70), 20))])[0]!;
  const loud = rankSounds([named('x', atLevelPa(modulated(70), 100))])[0]!;
  for (const key of ['loudnessSone', 'roughnessAsper', 'startDb', 'hardness'] as const) {
    // Components at the edge of hearing may fall to either side of it by rounding.
    expect(loud[key]).toBeCloseTo(soft[key], 4);
  }
  const at60 = soundOf(modulated(70), SAMPLE_RATE_HZ);
  expect(dbfsToDbSpl(measureSound(at60).laeqDbfs)).toBeCloseTo(60, 1);
  expect(Math.abs(loudnessOverTime(at60).n5Sone / loud.loudnessSone - 1)).toBeLessThan(0.01);
});

test('another level can be asked for; louder is harder', () => {
  const sounds = [named('x', tone(1000))];
  expect(rankSounds(sounds, 50)[0]!.loudnessSone).toBeCloseTo(2, 1);
  expect(rankSounds(sounds, 65)[0]!.hardness).toBeGreaterThan(rankSounds(sounds)[0]!.hardness);
});

test('no sounds have no order, and the input is left as it was', () => {
  expect(rankSounds([])).toEqual([]);
  const samples = tone(1000);
  const before = samples.slice();
  rankSounds([named('x', samples)]);
  expect(samples).toEqual(before);
});

test('a sound of a moment is ranked, with silence after it', () => {
  const [click] = rankSounds([named('click', tone(1000, 0.05))]);
  expect(click!.hardness).toBeGreaterThan(0);
});

test('silence and a level beyond talking are refused', () => {
  expect(() => rankSounds([named('nothing', silence(1, SAMPLE_RATE_HZ))])).toThrow(
    new RangeError('sound nothing is silent'),
  );
  expect(() => rankSounds([], 71)).toThrow('levelDb must be between 20 and 70 dB, got 71');
});
