/** Recorded cues in a step: which file is whose, how loud they are, when they are heard. */
import { beforeAll, describe, expect, test } from 'vitest';
import { clipSound } from '../../../src/kit/audio/cue-clip.js';
import { clipGainDb, type CueClips, matchClips } from '../../../src/kit/audio/cue-clips.js';
import { LevelledSounds, VOICE_LAEQ_DBFS } from '../../../src/kit/audio/levelled-sounds.js';
import { type StepAudio, stepAudio } from '../../../src/kit/audio/step-audio.js';
import { measureSound } from '../../../src/levels/measure-sound.js';
import { layoutStep } from '../../../src/plan/layout.js';
import type { Step } from '../../../src/plan/plan.js';
import { collect, SAMPLE_RATE_HZ } from '../../../src/signal/sound.js';
import { integratedLufs } from '../../helpers/ebur128.js';
import { planConstants } from '../../helpers/plan-constants.js';
import { smallSource, smallStudy } from '../../helpers/small-kit.js';
import { largestDifference } from '../../helpers/signals.js';
import { speechLike } from '../../helpers/speech.js';

describe('files', () => {
  const SCANS = ['localiser', 't1-brain'];
  const match = (files: readonly string[]) => matchClips(files, SCANS, 'cues/en');

  test('are matched by name, whatever kind they are; other files do not matter', () => {
    const { clips, problems } = match([
      'README.txt',
      'end.MP3',
      'localiser.wav',
      't1-brain.flac',
      'old.wav',
    ]);
    expect(problems).toEqual([]);
    expect([...clips]).toEqual([
      ['localiser', 'localiser.wav'],
      ['t1-brain', 't1-brain.flac'],
      ['end', 'end.MP3'],
    ]);
  });

  test('that are missing or there twice are all named', () => {
    const { problems } = match(['localiser.wav', 'localiser.mp3', 't1-brian.wav']);
    expect(problems.map(({ where, found }) => [where, found])).toEqual([
      ['cues/en/localiser', 'localiser.wav and localiser.mp3'],
      ['cues/en/t1-brain.wav', 'no such file'],
      ['cues/en/end.wav', 'no such file'],
    ]);
    expect(problems[1]!.fix).toBe('Rename t1-brian if that is it.');
    expect(problems[2]!.fix).toContain('chimes instead');
  });
});

/** Two clips of one loudness and one 12 dB softer, of other lengths; recorded at another rate. */
const clip = (seconds: number, peak: number, seed: string) => ({
  sound: clipSound({
    file: `${seed}.wav`,
    sampleRateHz: 48_000,
    channels: [speechLike(seconds, 48_000, { peak, seed })],
  }),
  sha256: seed,
});
const CLIPS: CueClips = new Map([
  ['hum', clip(1.4, 0.5, 'hum')],
  ['buzz', clip(2.2, 0.125, 'buzz')],
  ['end', clip(1, 0.5, 'end')],
]);

const { layout, softness } = planConstants;
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

const make = (levelDb: number, limits = LIMITS): Promise<StepAudio> =>
  stepAudio(
    { ...STEP, levelDb },
    planConstants,
    new LevelledSounds(smallSource, limits, softness),
    smallStudy(),
    () => Promise.resolve(),
    CLIPS,
  );

/** What is heard from the end of one part to the start of a sound: the sound of its cue, and silence. */
function cueBefore(audio: StepAudio, index: number) {
  const samples = collect(audio.sound);
  const from = index === 0 ? audio.voice.endSeconds + 0.3 : audio.sounds[index - 1]!.endSeconds;
  const [start, end] = [from, audio.sounds[index]!.startSeconds].map(s =>
    Math.round(s * SAMPLE_RATE_HZ),
  );
  const part = samples.subarray(start, end);
  const first = part.findIndex(x => x !== 0);
  const last = part.findLastIndex(x => x !== 0);
  return {
    samples: part.slice(first, last + 1),
    seconds: (last + 1 - first) / SAMPLE_RATE_HZ,
    leadSeconds: (part.length - 1 - last) / SAMPLE_RATE_HZ,
  };
}

describe('in a step', () => {
  let audio: StepAudio;
  beforeAll(async () => {
    audio = await make(-12);
  });

  test('the clip of a scan comes before its sound by the stated time, and the step is as long as that takes', () => {
    for (const [i, scan] of ['hum', 'buzz'].entries()) {
      const { seconds, leadSeconds } = cueBefore(audio, i);
      expect(Math.abs(leadSeconds - layout.cueLeadSeconds)).toBeLessThan(0.001);
      expect(Math.abs(seconds - CLIPS.get(scan)!.sound.length / SAMPLE_RATE_HZ)).toBeLessThan(
        0.001,
      );
    }
    const plain = layoutStep(STEP, layout).durationSeconds;
    const clips = [...CLIPS.values()].reduce((sum, { sound }) => sum + sound.length, 0);
    expect(audio.durationSeconds).toBeCloseTo(
      plain + clips / SAMPLE_RATE_HZ - 3 * layout.cueSeconds,
      4,
    );
    expect(audio.sound.length).toBe(Math.round(audio.durationSeconds * SAMPLE_RATE_HZ));
  });

  test('clips are equally loud, and 12 dB below the voice reference, by another loudness meter', () => {
    const voice = collect(new LevelledSounds(smallSource, LIMITS, softness).voiceFile());
    const reference = integratedLufs([voice], SAMPLE_RATE_HZ);
    for (const i of [0, 1]) {
      const loudness = integratedLufs([cueBefore(audio, i).samples], SAMPLE_RATE_HZ);
      expect(Math.abs(loudness - reference + 12)).toBeLessThan(0.1);
    }
  });

  test('the sounds are at their levels as with chimes', () => {
    for (const { offsetDb } of audio.sounds) expect(offsetDb).toBeCloseTo(-12, 6);
  });
});

test('a clip is never louder than the voice reference, however loud the sound', async () => {
  const [loud, equal] = [await make(5), await make(0)].map(audio => cueBefore(audio, 0).samples);
  expect(largestDifference(loud!, equal!)).toBe(0);
});

test('the FAST limit holds on clips, with room for coding', () => {
  const levelled = new LevelledSounds(smallSource, { ...LIMITS, lafmaxDb: -9 }, softness);
  for (const clip of CLIPS.values()) {
    const { lafmaxDbfs } = measureSound(levelled.cue('rising', 1, 0, clip));
    expect(lafmaxDbfs - VOICE_LAEQ_DBFS).toBeCloseTo(-9.2, 6);
  }
});

test('the gain is the smallest that any limit leaves', () => {
  const voice = { integratedLufs: -25, laeqDbfs: -25 };
  const levels = {
    integratedLufs: -20,
    laeqDbfs: -22,
    lafmaxDbfs: -16,
    lcpeakDbfs: 0,
    truePeakDbtp: -6,
    shortDbfs: -12,
  };
  const free = { laeqDb: 100, lafmaxDb: 100, lcpeakDb: 100, shortDb: 100, truePeakDbtp: -3 };
  // From -20 LUFS to -25, and by 12 dB less; from -6 dBTP to -3.
  expect(clipGainDb(levels, voice, 3, free)).toBe(-5);
  expect(clipGainDb(levels, voice, -12, free)).toBe(-17);
  expect(clipGainDb({ ...levels, integratedLufs: -40 }, voice, 0, free)).toBe(3);
  expect(clipGainDb(levels, voice, 0, { ...free, laeqDb: -10 })).toBe(-13);
  expect(clipGainDb(levels, voice, 0, { ...free, lafmaxDb: 2 })).toBe(-7);
  expect(clipGainDb(levels, voice, 0, { ...free, lcpeakDb: 15 })).toBe(-10);
  expect(clipGainDb(levels, voice, 0, { ...free, shortDb: 5 })).toBe(-8);
});
