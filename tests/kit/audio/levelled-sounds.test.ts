/** Sounds at their levels. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  CODING_MARGIN_DB,
  LevelledSounds,
  VOICE_FADES,
  VOICE_LAEQ_DBFS,
  type WantedLevel,
} from '../../../src/kit/audio/levelled-sounds.js';
import { TRUE_PEAK_GATE_DBTP } from '../../../src/levels/limits.js';
import { measureSound } from '../../../src/levels/measure-sound.js';
import { shortMeanSquares } from '../../../src/levels/short-levels.js';
import { meanSquareToDbfs } from '../../../src/signal/decibels.js';
import { collect, SAMPLE_RATE_HZ, soundOf } from '../../../src/signal/sound.js';
import { planConstants } from '../../helpers/plan-constants.js';
import { smallSource } from '../../helpers/small-kit.js';

const LIMITS = { laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42, shortDb: 15 };

/** Levels are scaled by what was measured, so they come out as wanted but for rounding. */
const EXACT_DB = 1e-6;

/** Peaks between samples are found in single precision: digits of dB that are certain. */
const PEAK_DIGITS = 5;

const WANTED: WantedLevel = {
  scan: 'hum',
  softness: 0,
  durationSeconds: 4,
  onsetSeconds: 1,
  fadeOutSeconds: 0.5,
  levelDb: -6,
};

describe('a scan', () => {
  test('measures the wanted level from start to end, fades included', () => {
    const levelled = new LevelledSounds(smallSource, LIMITS, planConstants.softness);
    fc.assert(
      fc.property(
        fc.constantFrom('hum', 'buzz'),
        fc.integer({ min: 40, max: 80 }),
        fc.constantFrom(0.05, 0.5, 2),
        fc.double({ min: -24, max: 0, noNaN: true }),
        (scan, tenths, onsetSeconds, levelDb) => {
          const wanted = {
            scan,
            softness: 0,
            durationSeconds: tenths / 10,
            onsetSeconds,
            fadeOutSeconds: 0.8,
            levelDb,
          };
          const { sound, offsetDb, lafmaxOffsetDb, loweredDb } = levelled.scan(wanted);
          const levels = measureSound(sound);
          expect(sound.length).toBe(Math.round((tenths / 10) * SAMPLE_RATE_HZ));
          expect(loweredDb).toBe(0);
          expect(Math.abs(offsetDb - levelDb)).toBeLessThan(EXACT_DB);
          expect(Math.abs(levels.laeqDbfs - VOICE_LAEQ_DBFS - levelDb)).toBeLessThan(EXACT_DB);
          expect(levels.lafmaxDbfs - VOICE_LAEQ_DBFS).toBeCloseTo(lafmaxOffsetDb, 6);
        },
      ),
      { seed: 1, numRuns: 12 },
    );
  });

  test('whose peaks stand far out is held back by the limit on true peaks, and says by how much', () => {
    const levelled = new LevelledSounds(
      smallSource,
      { ...LIMITS, lafmaxDb: 100, shortDb: 100 },
      planConstants.softness,
    );
    const { sound, offsetDb, loweredDb, truePeakDbtp } = levelled.scan({
      ...WANTED,
      scan: 'thump',
      levelDb: 4,
    });
    expect(loweredDb).toBeGreaterThan(1);
    expect(offsetDb).toBeCloseTo(4 - loweredDb, 6);
    expect(truePeakDbtp).toBeCloseTo(TRUE_PEAK_GATE_DBTP - CODING_MARGIN_DB.truePeak, PEAK_DIGITS);
    expect(measureSound(sound).truePeakDbtp).toBeCloseTo(
      TRUE_PEAK_GATE_DBTP - CODING_MARGIN_DB.truePeak,
      PEAK_DIGITS,
    );
  });

  test('is held back by the limits on FAST maximum and C-weighted peak', () => {
    const wanted = { ...WANTED, scan: 'thump', levelDb: 0 };
    const fast = new LevelledSounds(
      smallSource,
      { ...LIMITS, lafmaxDb: 2 },
      planConstants.softness,
    ).scan(wanted);
    expect(measureSound(fast.sound).lafmaxDbfs - VOICE_LAEQ_DBFS).toBeCloseTo(
      2 - CODING_MARGIN_DB.lafmax,
      6,
    );
    const peak = new LevelledSounds(
      smallSource,
      { ...LIMITS, lcpeakDb: 12 },
      planConstants.softness,
    ).scan(wanted);
    expect(measureSound(peak.sound).lcpeakDbfs - VOICE_LAEQ_DBFS).toBeCloseTo(
      12 - CODING_MARGIN_DB.lcpeak,
      PEAK_DIGITS,
    );
  });

  test('is held back by the limit on levels over 10 ms, which bounds how fast it can rise', () => {
    const limits = { ...LIMITS, shortDb: 6 };
    const { sound, loweredDb } = new LevelledSounds(
      smallSource,
      limits,
      planConstants.softness,
    ).scan({ ...WANTED, scan: 'thump', levelDb: 0 });
    const highest = Math.max(...shortMeanSquares(sound).map(meanSquareToDbfs));
    expect(loweredDb).toBeGreaterThan(1);
    expect(highest - VOICE_LAEQ_DBFS).toBeCloseTo(6 - CODING_MARGIN_DB.short, 1);
  });

  test('that begins with a soft click and a pause starts where it begins to be heard', () => {
    // A click 20 dB below the burst that comes after 0.9 s, as an inversion before its readout.
    const samples = Float64Array.from({ length: 10 * SAMPLE_RATE_HZ }, (_, i) => {
      const t = (i / SAMPLE_RATE_HZ) % 2.2;
      const amplitude = t < 0.02 ? 0.01 : t > 0.9 && t < 2 ? 0.1 : 1e-5;
      return amplitude * Math.sin(2 * Math.PI * 1000 * t);
    });
    const source = (_scan: string, durationSeconds: number) =>
      soundOf(samples.subarray(0, Math.round(durationSeconds * SAMPLE_RATE_HZ)));
    const levelled = new LevelledSounds(source, LIMITS, planConstants.softness);
    const { sound } = levelled.scan({ ...WANTED, onsetSeconds: 0.1 });
    expect(sound).toHaveLength(4 * SAMPLE_RATE_HZ);
    const levels = shortMeanSquares(sound).map(meanSquareToDbfs);
    const highest = Math.max(...levels);
    // Half-way through its fade it is 6 dB below its highest level, and up to 3 dB more over 10 ms.
    expect(levels[49]! - highest).toBeGreaterThan(-9);
    expect(levels[49]! - highest).toBeLessThan(-6);
    expect(levels[9]! - highest).toBeLessThan(-30);
  });

  test('never passes the limit on its LAeq, whatever is wanted', () => {
    const levelled = new LevelledSounds(smallSource, LIMITS, planConstants.softness);
    expect(levelled.scan({ ...WANTED, levelDb: 40 }).offsetDb).toBeCloseTo(
      5 - CODING_MARGIN_DB.laeq,
      6,
    );
  });

  test('that is shorter than wanted starts again', () => {
    const levelled = new LevelledSounds(smallSource, LIMITS, planConstants.softness);
    const sound = levelled.scan({ ...WANTED, scan: 'thump', durationSeconds: 4 }).sound;
    const samples = collect(sound);
    expect(samples).toHaveLength(4 * SAMPLE_RATE_HZ);
    // The thump at 3 s is the first of the second round.
    expect(samples.subarray(3 * SAMPLE_RATE_HZ, 3.1 * SAMPLE_RATE_HZ).some(x => x !== 0)).toBe(
      true,
    );
  });

  test('is read for its start, then once for all its levels', () => {
    let readings = 0;
    const samples = Float64Array.from({ length: 200_000 }, (_, i) => Math.sin(0.1 * i));
    const sound = soundOf(samples);
    const counted = {
      ...sound,
      blocks: () => {
        readings += 1;
        return sound.blocks();
      },
    };
    const levelled = new LevelledSounds(() => counted, LIMITS, planConstants.softness);
    for (const levelDb of [-18, -15, -12]) levelled.scan({ ...WANTED, levelDb });
    levelled.scan({ ...WANTED, onsetSeconds: 0.5 });
    expect(readings).toBe(2);
  });

  test('that is silent cannot be brought to a level and is refused', () => {
    const silent = new LevelledSounds(
      () => soundOf(new Float64Array(200_000)),
      LIMITS,
      planConstants.softness,
    );
    expect(() => silent.scan(WANTED)).toThrow(RangeError);
  });
});

describe('the voice', () => {
  const levelled = new LevelledSounds(smallSource, LIMITS, planConstants.softness);

  test('as a file has its level from start to end', () => {
    expect(measureSound(levelled.voiceFile()).laeqDbfs).toBeCloseTo(VOICE_LAEQ_DBFS, 6);
  });

  test('in a step has the same level once it is faded in', () => {
    const samples = collect(levelled.voice(3));
    const steady = samples.subarray(
      Math.round(VOICE_FADES.fadeInSeconds * SAMPLE_RATE_HZ),
      Math.round((3 - VOICE_FADES.fadeOutSeconds) * SAMPLE_RATE_HZ),
    );
    // Noise of 1.7 s is not exactly as loud as that of 3 s.
    expect(Math.abs(measureSound(soundOf(steady)).laeqDbfs - VOICE_LAEQ_DBFS)).toBeLessThan(0.3);
  });

  test('leaves room: 5 dB above it, a peak 16.8 dB above LAeq stays below -3 dBTP', () => {
    // 16.8 dB is the largest of the demo study's scans under protection (turbo spin echo).
    expect(VOICE_LAEQ_DBFS + 5 + 16.8).toBeLessThan(-3);
  });
});

describe('a cue', () => {
  test.each([-18, -3, 0])('reaches %d dB re the voice at its loudest', levelDb => {
    const levelled = new LevelledSounds(smallSource, LIMITS, planConstants.softness);
    const { lafmaxDbfs } = measureSound(levelled.cue('rising', 0.8, levelDb));
    expect(lafmaxDbfs - VOICE_LAEQ_DBFS).toBeCloseTo(levelDb, 6);
  });

  test('is never louder than the voice', () => {
    const levelled = new LevelledSounds(smallSource, LIMITS, planConstants.softness);
    const { lafmaxDbfs } = measureSound(levelled.cue('falling', 0.8, 5));
    expect(lafmaxDbfs - VOICE_LAEQ_DBFS).toBeCloseTo(0, 6);
  });
});
