/** The background: an idle 3 T scanner at 60 dBA (common practice, no source), one beat a second, no seam. */
import { expect, test } from 'vitest';
import { backgroundSounds } from '../../src/acoustics/background.js';
import { measureSound } from '../../src/levels/measure-sound.js';
import { dbfsToDbSpl } from '../../src/levels/scan-levels.js';
import { collect } from '../../src/signal/sound.js';
import { library } from '../helpers/study.js';

const LOOP = 2 ** 19;

test('is 60 dBA in the bore and inaudible under hearing protection', () => {
  const bore = measureSound(backgroundSounds(undefined, 'seed')(24));
  expect(dbfsToDbSpl(bore.laeqDbfs)).toBeCloseTo(60, 0);
  const worn = measureSound(
    backgroundSounds(library.protections.get('plugs-and-muffs'), 'seed')(24),
  );
  expect(dbfsToDbSpl(worn.laeqDbfs)).toBeLessThan(35);
});

test('closes on itself: the step across the seam is no larger than steps elsewhere', () => {
  const samples = collect(backgroundSounds(undefined, 'seed')(LOOP / 44_100 + 1));
  let largest = 0;
  for (let n = 1; n < LOOP; n++)
    largest = Math.max(largest, Math.abs(samples[n]! - samples[n - 1]!));
  expect(Math.abs(samples[LOOP]! - samples[LOOP - 1]!)).toBeLessThan(largest);
  expect(samples[LOOP + 1000]).toBe(samples[1000]);
});

test('beats about once a second', () => {
  const samples = collect(backgroundSounds(undefined, 'seed')(LOOP / 44_100));
  // Energy in 20 ms frames of the differenced signal, correlated with itself one beat later.
  const frame = 882;
  const energy = Array.from({ length: Math.floor(LOOP / frame) - 1 }, (_, i) => {
    let sum = 0;
    for (let n = 1; n <= frame; n++)
      sum += (samples[i * frame + n]! - samples[i * frame + n - 1]!) ** 2;
    return sum;
  });
  const mean = energy.reduce((a, b) => a + b, 0) / energy.length;
  const correlation = (lag: number): number =>
    energy.slice(lag).reduce((sum, e, i) => sum + (e - mean) * (energy[i]! - mean), 0);
  const lags = Array.from({ length: 60 }, (_, i) => i + 20);
  const best = lags.reduce((a, b) => (correlation(b) > correlation(a) ? b : a));
  expect(best * 0.02).toBeGreaterThan(0.9);
  expect(best * 0.02).toBeLessThan(1.1);
});
