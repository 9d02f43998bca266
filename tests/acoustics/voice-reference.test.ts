/** The voice reference against the sums of ANSI S3.5-1997, and its bands against the table. */
import { describe, expect, test } from 'vitest';
import { SPEECH_BANDS, voiceReference } from '../../src/acoustics/voice-reference.js';
import { aWeightingDb } from '../../src/levels/frequency-weighting.js';
import { measureSound } from '../../src/levels/measure-sound.js';
import { dbfsToDbSpl } from '../../src/levels/scan-levels.js';
import { realSpectrum } from '../../src/signal/fft.js';
import { collect } from '../../src/signal/sound.js';

const totalDb = (levels: readonly number[]): number =>
  10 * Math.log10(levels.reduce((sum, level) => sum + 10 ** (level / 10), 0));

describe('the table', () => {
  test('has 18 one-third octaves from 160 Hz to 8 kHz', () => {
    expect(SPEECH_BANDS).toHaveLength(18);
    expect(SPEECH_BANDS[0]!.middleHz).toBeCloseTo(158.5, 1);
    expect(SPEECH_BANDS.at(-1)!.middleHz).toBeCloseTo(7943, 0);
  });

  test('sums to 62.3 dB and 59.2 dBA, as normal vocal effort does', () => {
    // ANSI S3.5-1997 gives 62.35 dB overall (from memory); ISO 9921 calls 60 dBA at 1 m normal.
    expect(totalDb(SPEECH_BANDS.map(band => band.levelDb))).toBeCloseTo(62.35, 1);
    const weighted = SPEECH_BANDS.map(band => band.levelDb + aWeightingDb(band.middleHz));
    expect(totalDb(weighted)).toBeCloseTo(59.2, 1);
  });
});

describe('the noise', () => {
  const sound = voiceReference(30);

  test('is as loud as normal talk at 1 m by the meter', () => {
    const { laeqDbfs, lzeqDbfs } = measureSound(sound);
    // Within half of the last printed digit, and 0.05 dB since 30 s are no whole number of loops.
    expect(Math.abs(dbfsToDbSpl(lzeqDbfs) - 62.35)).toBeLessThan(0.1);
    expect(Math.abs(dbfsToDbSpl(laeqDbfs) - 59.2)).toBeLessThan(0.1);
  });

  test('has the level of each band', () => {
    const size = 2 ** 18;
    const spectrum = realSpectrum(collect(sound).slice(0, size));
    for (const { lowHz, highHz, levelDb } of SPEECH_BANDS) {
      let meanSquare = 0;
      for (let bin = 0; bin <= size / 2; bin++) {
        const hertz = (bin * sound.sampleRateHz) / size;
        if (hertz < lowHz || hertz >= highHz) continue;
        meanSquare += (2 * (spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2)) / size ** 2;
      }
      expect(10 * Math.log10(meanSquare / 20e-6 ** 2)).toBeCloseTo(levelDb, 6);
    }
  });

  test('is steady: FAST never rises 3 dB above its mean', () => {
    const { lafmaxDbfs, laeqDbfs } = measureSound(sound);
    expect(lafmaxDbfs - laeqDbfs).toBeLessThan(3);
  });

  test('repeats without a seam and is the same every time', () => {
    const samples = collect(sound);
    expect(samples[2 ** 18]).toBe(samples[0]);
    expect(samples).toHaveLength(30 * sound.sampleRateHz);
    const again = collect(voiceReference(30));
    expect(again.every((x, n) => x === samples[n])).toBe(true);
  });
});
