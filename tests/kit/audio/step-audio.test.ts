/** The audio of a step, measured. */
import { describe, expect, test } from 'vitest';
import { LevelledSounds, VOICE_LAEQ_DBFS } from '../../../src/kit/audio/levelled-sounds.js';
import { stepAudio } from '../../../src/kit/audio/step-audio.js';
import { measureSound } from '../../../src/levels/measure-sound.js';
import { layoutStep } from '../../../src/plan/layout.js';
import type { Step } from '../../../src/plan/plan.js';
import { collect, SAMPLE_RATE_HZ, soundOf } from '../../../src/signal/sound.js';
import { planConstants } from '../../helpers/plan-constants.js';
import { largestDifference } from '../../helpers/signals.js';
import { smallSource, smallStudy } from '../../helpers/small-kit.js';

const { layout } = planConstants;
const LIMITS = { laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42, shortDb: 15 };

const STEP: Step = {
  number: 1,
  change: 'start',
  levelDb: -12,
  onsetSeconds: 1,
  softness: 0,
  announced: true,
  posture: 'any',
  order: 'gentle',
  sounds: [
    { scan: 'hum', durationSeconds: 5, softness: 0 },
    { scan: 'buzz', durationSeconds: 4, softness: 0 },
  ],
  interludes: [],
};

const make = (changes: Partial<Step> = {}) =>
  stepAudio(
    { ...STEP, ...changes },
    planConstants,
    new LevelledSounds(smallSource, LIMITS, planConstants.softness),
    smallStudy(),
    () => Promise.resolve(),
  );

const stretch = (samples: Float64Array, startSeconds: number, endSeconds: number) =>
  soundOf(
    samples.subarray(
      Math.round(startSeconds * SAMPLE_RATE_HZ),
      Math.round(endSeconds * SAMPLE_RATE_HZ),
    ),
  );

const laeqDb = (samples: Float64Array, startSeconds: number, endSeconds: number): number =>
  measureSound(stretch(samples, startSeconds, endSeconds)).laeqDbfs - VOICE_LAEQ_DBFS;

describe('a step', async () => {
  const audio = await make();
  const samples = collect(audio.sound);

  test('is as long as its timetable and says when each sound is heard', () => {
    expect(samples).toHaveLength(Math.round(audio.durationSeconds * SAMPLE_RATE_HZ));
    expect(
      audio.sounds.map(({ scan, startSeconds, endSeconds }) => [scan, startSeconds, endSeconds]),
    ).toEqual([
      ['hum', 6.8, 11.8],
      ['buzz', 15.1, 19.1],
    ]);
  });

  test('has each sound at its level between its times', () => {
    for (const { startSeconds, endSeconds, offsetDb } of audio.sounds) {
      expect(offsetDb).toBeCloseTo(-12, 6);
      // 0.001 dB: a filter's memory of the silence before differs by as much.
      expect(Math.abs(laeqDb(samples, startSeconds, endSeconds) - offsetDb)).toBeLessThan(0.001);
    }
  });

  test('starts in silence and ends in silence', () => {
    expect(laeqDb(samples, 0, 1)).toBe(-Infinity);
    expect(laeqDb(samples, audio.durationSeconds - layout.endSeconds, audio.durationSeconds)).toBe(
      -Infinity,
    );
  });

  test('has the voice reference at its level before everything else', () => {
    expect(audio.voice).toEqual({ startSeconds: 2, endSeconds: 3.7, offsetDb: 0 });
    expect(Math.abs(laeqDb(samples, 2, 3.7))).toBeLessThan(0.3);
  });

  test('has a cue before each sound, at or below the sound', () => {
    const cues = layoutStep(STEP, layout).parts.filter(({ kind }) => kind === 'cue');
    expect(cues).toHaveLength(2);
    for (const { startSeconds, endSeconds, sound } of cues) {
      const { lafmaxDbfs } = measureSound(stretch(samples, startSeconds, endSeconds));
      expect(lafmaxDbfs - VOICE_LAEQ_DBFS).toBeLessThanOrEqual(-12 + 0.001);
      expect(lafmaxDbfs - VOICE_LAEQ_DBFS).toBeGreaterThan(-12.2);
      expect(audio.sounds[sound]!.startSeconds - endSeconds).toBeCloseTo(layout.cueLeadSeconds, 6);
    }
  });

  test('is the same when it is read again', () => {
    expect(largestDifference(collect(audio.sound), samples)).toBe(0);
  });
});

describe('the onset', () => {
  // The hum repeats every 5 ms, so the mean square of 5 ms shows the fade alone.
  const PERIOD = Math.round(0.005 * SAMPLE_RATE_HZ);

  test.each([0.1, 1, 2])('of a sound takes the %d s that it says', async onsetSeconds => {
    const audio = await make({ onsetSeconds });
    const { startSeconds, endSeconds } = audio.sounds[0]!;
    const samples = stretch(collect(audio.sound), startSeconds, endSeconds);
    const [block] = [...samples.blocks()];
    const rms = (at: number): number => {
      const piece = block!.subarray(at, at + PERIOD);
      return Math.sqrt(piece.reduce((sum, x) => sum + x * x, 0) / PERIOD);
    };
    const full = rms(Math.round(2.5 * SAMPLE_RATE_HZ));
    // A raised cosine passes 10 % at 20.5 % of its length and 90 % at 79.5 %.
    const timeOf = (share: number): number => {
      let at = 0;
      while (rms(at) < share * full) at += 20;
      return (at + PERIOD / 2) / SAMPLE_RATE_HZ;
    };
    const rise = timeOf(0.9) - timeOf(0.1);
    expect(Math.abs(rise / (onsetSeconds * 0.59) - 1)).toBeLessThan(0.1);
  });
});

describe('the real order', async () => {
  const audio = await make({ order: 'protocol' });
  const samples = collect(audio.sound);

  test('has the scanner’s background between sounds, softer than them as in the scanner', () => {
    const [first, second] = audio.sounds;
    // Away from its fades and the cue.
    const pauseDb = laeqDb(samples, first!.endSeconds + 0.5, second!.startSeconds - 2.3);
    expect(pauseDb).toBeGreaterThan(-80);
    expect(pauseDb).toBeLessThan(-12 - 20);
  });

  test('leaves sounds and cues as they are', () => {
    for (const { startSeconds, endSeconds } of audio.sounds) {
      expect(Math.abs(laeqDb(samples, startSeconds, endSeconds) + 12)).toBeLessThan(0.001);
    }
  });
});
