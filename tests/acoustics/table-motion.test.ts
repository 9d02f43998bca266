/** The ride of the table: a hum that swells and fades, a clunk, always the same. */
import { describe, expect, test } from 'vitest';
import { tableMotion } from '../../src/acoustics/table-motion.js';
import { measureSound } from '../../src/levels/measure-sound.js';
import { dbfsToDbSpl } from '../../src/levels/scan-levels.js';
import { collect } from '../../src/signal/sound.js';
import { lineSpectrum, strongestLine } from '../helpers/lines.js';
import { largestDifference } from '../helpers/signals.js';
import { library } from '../helpers/study.js';

const RATE_HZ = 44_100;

describe('the ride of the table', () => {
  const samples = collect(tableMotion(8, undefined));
  const part = (fromSeconds: number, toSeconds: number): Float64Array =>
    samples.subarray(fromSeconds * RATE_HZ, toSeconds * RATE_HZ);
  const rms = (fromSeconds: number, toSeconds: number): number =>
    Math.sqrt(
      part(fromSeconds, toSeconds).reduce((sum, x) => sum + x * x, 0) /
        part(fromSeconds, toSeconds).length,
    );

  test('lasts as long as asked, and is the same each time', () => {
    expect(samples).toHaveLength(8 * RATE_HZ);
    expect(largestDifference(collect(tableMotion(8, undefined)), samples)).toBe(0);
  });

  test('hums on multiples of its motor, evenly, after a soft start', () => {
    const spectrum = lineSpectrum(part(1, 7), RATE_HZ);
    for (let multiple = 1; multiple <= 5; multiple++) {
      const { hertz } = strongestLine(spectrum, multiple * 112 - 15, multiple * 112 + 15);
      expect(Math.abs(hertz / (multiple * 112) - 1)).toBeLessThan(1e-3);
    }
    expect(rms(0, 0.1)).toBeLessThan(rms(2, 3) / 5);
    expect(Math.abs(rms(2, 3) / rms(5, 6) - 1)).toBeLessThan(0.01);
  });

  test('ends in a clunk that dies away', () => {
    expect(rms(7.5, 7.55)).toBeGreaterThan(2 * rms(7.4, 7.49));
    expect(rms(7.9, 8)).toBeLessThan(rms(7.5, 7.55) / 50);
  });

  test('never jumps: the steepest step is that of its sines', () => {
    let steepest = 0;
    for (let i = 1; i < samples.length; i++) {
      steepest = Math.max(steepest, Math.abs(samples[i]! - samples[i - 1]!));
    }
    // Slopes of all sines together, per sample, by the table of amplitudes: 0.02 Pa and less.
    expect(steepest).toBeLessThan(0.02);
  });

  test('is far below what hurts: 55 to 70 dBA', () => {
    const level = dbfsToDbSpl(measureSound(tableMotion(8, undefined)).laeqDbfs);
    expect(level).toBeGreaterThan(55);
    expect(level).toBeLessThan(70);
  });

  test('is softer under hearing protection, and loses more at the top', () => {
    const worn = collect(tableMotion(8, library.protections.get('plugs-and-muffs')));
    const spectrum = lineSpectrum(part(1, 7), RATE_HZ);
    const wornSpectrum = lineSpectrum(worn.subarray(RATE_HZ, 7 * RATE_HZ), RATE_HZ);
    const lost = [112, 1008].map(
      hertz =>
        strongestLine(spectrum, hertz - 15, hertz + 15).levelDb -
        strongestLine(wornSpectrum, hertz - 15, hertz + 15).levelDb,
    );
    expect(lost[0]!).toBeGreaterThan(10);
    expect(lost[1]!).toBeGreaterThan(lost[0]! + 2);
  });

  test('a ride shorter than its clunk is only a clunk', () => {
    const short = collect(tableMotion(0.5, undefined));
    expect(short.every(x => Number.isFinite(x))).toBe(true);
    expect(short.some(x => Math.abs(x) > 0.01)).toBe(true);
  });
});
