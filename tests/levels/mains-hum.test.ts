/** Hum of the mains, made to known levels under sound like speech. */
import { describe, expect, test } from 'vitest';
import { mainsHum } from '../../src/levels/mains-hum.js';
import { seededRandom } from '../../src/signal/random.js';
import { sine } from '../helpers/signals.js';
import { speechLike, withSound } from '../helpers/speech.js';

const RATE = 8000;
const SPEECH = speechLike(3, RATE);

/** A sum of sines of equal amplitude. */
const lines = (hertz: readonly number[]): Float64Array =>
  hertz
    .map(h => sine(h, 3, RATE, { phase: h }))
    .reduce((sum, x) => sum.map((value, i) => value + x[i]!));

describe('hum under speech is found, at its level', () => {
  test.each([
    [50, [50]],
    [50, [100]],
    [50, [50, 100, 150, 250, 350]],
    [60, [60, 120, 180]],
    [60, [120]],
  ] as const)('of %d Hz mains at %j Hz', (mainsHz, hertz) => {
    for (const db of [-10, -20]) {
      const hum = mainsHum(withSound(SPEECH, lines(hertz), db), RATE)!;
      expect(hum.mainsHz).toBe(mainsHz);
      expect(Math.abs(hum.levelDb - db)).toBeLessThan(2);
    }
  });

  test('at any sample rate, and off the mains by as much as grids are: 0.2 Hz', () => {
    for (const rate of [8000, 44_100, 48_000]) {
      const speech = speechLike(2, rate);
      const hum = mainsHum(withSound(speech, sine(50.2, 2, rate), -20), rate)!;
      expect(hum.mainsHz).toBe(50);
      expect(Math.abs(hum.levelDb + 20)).toBeLessThan(2);
    }
  });
});

describe('what is no hum is not taken for one', () => {
  const most = (samples: Float64Array): number => mainsHum(samples, RATE)?.levelDb ?? -Infinity;

  test.each([
    ['a low voice', [85, 130]],
    ['a high voice', [180, 280]],
    ['a flat voice around 100 Hz', [92, 108]],
    ['a flat voice around 120 Hz', [112, 128]],
  ])('%s: what is taken for hum is below what a clip may have', (_what, pitchHz) => {
    for (let n = 0; n < 10; n++) {
      expect(most(speechLike(3, RATE, { pitchHz, seed: `voice ${n}` }))).toBeLessThan(-25);
    }
  });

  test('steady noise, as loud as the speech', () => {
    const random = seededRandom('noise');
    const noise = SPEECH.map(() => random.normal());
    expect(most(withSound(SPEECH, noise, 0))).toBeLessThan(-30);
  });

  test('silence, and less than half a second', () => {
    expect(most(new Float64Array(2 * RATE))).toBe(-Infinity);
    expect(most(sine(50, 0.4, RATE))).toBe(-Infinity);
  });
});
