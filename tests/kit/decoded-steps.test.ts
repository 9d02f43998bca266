/**
 * What a family hears of a step: its MP3, decoded by mpg123 (another program than the encoder's), against
 * what the plan says: onsets, cues, the voice reference.
 */
import { describe, expect, test } from 'vitest';
import { bytesSource, collectAudio } from '../../src/formats/audio-stream.js';
import { openMp3 } from '../../src/formats/mp3-decoder.js';
import { encodeMp3, Mp3Encoder } from '../../src/formats/mp3-encoder.js';
import { LevelledSounds, VOICE_LAEQ_DBFS } from '../../src/kit/audio/levelled-sounds.js';
import { stepAudio } from '../../src/kit/audio/step-audio.js';
import { measureSound } from '../../src/levels/measure-sound.js';
import { layoutStep } from '../../src/plan/layout.js';
import type { Step } from '../../src/plan/plan.js';
import { SAMPLE_RATE_HZ, type Sound, soundOf } from '../../src/signal/sound.js';
import { planConstants } from '../helpers/plan-constants.js';
import { smallSource, smallStudy } from '../helpers/small-kit.js';

const LIMITS = { laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42, shortDb: 15 };
const encoder = await Mp3Encoder.create();

async function heard(changes: Partial<Step>) {
  const step: Step = {
    number: 1,
    change: 'start',
    levelDb: -3,
    onsetSeconds: 1,
    softness: 0,
    announced: true,
    posture: 'any',
    order: 'gentle',
    sounds: ['hum', 'buzz', 'hum'].map(scan => ({ scan, durationSeconds: 5, softness: 0 })),
    interludes: [],
    ...changes,
  };
  const levelled = new LevelledSounds(smallSource, LIMITS, planConstants.softness);
  const { sound, sounds, voice } = await stepAudio(
    step,
    planConstants,
    levelled,
    smallStudy(),
    () => Promise.resolve(),
  );
  const mp3 = encodeMp3(encoder, sound, 64);
  const [samples] = await collectAudio(openMp3(bytesSource(mp3), 'step.mp3'));
  const { parts } = layoutStep(step, planConstants.layout);
  return { step, parts, samples: samples!, sounds, voice };
}

const at = (seconds: number): number => Math.round(seconds * SAMPLE_RATE_HZ);
const part = (samples: Float64Array, startSeconds: number, endSeconds: number): Sound =>
  soundOf(samples.subarray(at(startSeconds), at(endSeconds)));

/** Root mean squares over 5 ms, two periods of the hum. */
function envelope(samples: Float64Array, startSeconds: number, endSeconds: number): Float64Array {
  const window = at(0.005);
  const count = Math.floor((at(endSeconds) - at(startSeconds)) / window);
  return Float64Array.from({ length: count }, (_, i) => {
    const from = at(startSeconds) + i * window;
    return Math.sqrt(samples.subarray(from, from + window).reduce((s, x) => s + x * x, 0) / window);
  });
}

describe.each([0.1, 0.5, 2])('a step with onsets of %d s, decoded', async onsetSeconds => {
  const { step, parts, samples, sounds, voice } = await heard({ onsetSeconds });

  test('has each onset as long as the step says, within 10 %', () => {
    for (const { scan, startSeconds, endSeconds } of sounds.filter(({ scan }) => scan === 'hum')) {
      const levels = envelope(samples, startSeconds, endSeconds - 1);
      const full = levels.at(-1)!;
      // A raised cosine has a tenth of its height at 0.2048 of its length, nine tenths at 0.7952.
      const crosses = (share: number): number => levels.findIndex(level => level >= share * full);
      const measuredSeconds = ((crosses(0.9) - crosses(0.1)) * 0.005) / (0.7952 - 0.2048);
      // The windows are 5 ms apart: the shortest onset is resolved to 8 %.
      expect(Math.abs(measuredSeconds / step.onsetSeconds - 1), scan).toBeLessThan(0.1);
    }
  });

  test('has every cue before its sound by the stated time, and silence in between', () => {
    const cues = parts.filter(({ kind }) => kind === 'cue');
    expect(cues).toHaveLength(step.sounds.length);
    for (const cue of cues) {
      const sound = sounds[cue.sound]!;
      const { cueLeadSeconds } = planConstants.layout;
      expect(sound.startSeconds - cue.endSeconds).toBeCloseTo(cueLeadSeconds, 6);
      const cueDb = measureSound(part(samples, cue.startSeconds, cue.endSeconds)).laeqDbfs;
      expect(cueDb).toBeGreaterThan(VOICE_LAEQ_DBFS - 30);
      // Coding smears by some 25 ms.
      const gap = part(samples, cue.endSeconds + 0.03, sound.startSeconds - 0.03);
      expect(measureSound(gap).laeqDbfs).toBeLessThan(cueDb - 40);
    }
  });

  test('has the voice reference at its level', () => {
    const { laeqDbfs } = measureSound(part(samples, voice.startSeconds, voice.endSeconds));
    expect(Math.abs(laeqDbfs - VOICE_LAEQ_DBFS)).toBeLessThan(0.3);
  });
});

test('a step that is not announced sound by sound has one cue, and pauses as the plan says', async () => {
  const { parts, samples, sounds } = await heard({ announced: false, onsetSeconds: 0.5 });
  expect(parts.filter(({ kind }) => kind === 'cue').map(({ sound }) => sound)).toEqual([0]);
  for (const [i, { startSeconds }] of sounds.entries()) {
    if (i === 0) continue;
    const pauseSeconds = startSeconds - sounds[i - 1]!.endSeconds;
    expect(pauseSeconds).toBeCloseTo(planConstants.layout.pauseSeconds, 6);
    const pause = part(samples, sounds[i - 1]!.endSeconds + 0.03, startSeconds - 0.03);
    expect(measureSound(pause).laeqDbfs).toBeLessThan(VOICE_LAEQ_DBFS - 45);
  }
});

test('a whole visit has table and pre-scan between its sounds, softer than they are', async () => {
  const interludes = [
    { kind: 'table-motion', durationSeconds: 3, before: 0 },
    { kind: 'pause', durationSeconds: 2, before: 1 },
    { kind: 'pre-scan', durationSeconds: 2, before: 1 },
    { kind: 'table-motion', durationSeconds: 3, before: 3 },
  ] as const;
  const { parts, samples, sounds } = await heard({
    interludes,
    order: 'protocol',
    onsetSeconds: 0.1,
  });
  const played = parts.filter(({ kind }) => kind === 'interlude');
  expect(played.map(({ interlude }) => interlude)).toEqual([0, 2, 3]);
  for (const { startSeconds, endSeconds } of played) {
    const level = measureSound(part(samples, startSeconds, endSeconds)).laeqDbfs;
    const expected = VOICE_LAEQ_DBFS - 3 + planConstants.interludeOffsetDb;
    expect(Math.abs(level - expected)).toBeLessThan(0.2);
  }
  // The pause is silent but for the scanner itself.
  expect(played[1]!.startSeconds - sounds[0]!.endSeconds).toBeCloseTo(2, 6);
});
