/**
 * The gates, whatever a study holds and asks for: plans by the hundred, sounds by the dozen, and a few
 * whole steps measured from their decoded files. Nothing is allowed for but rounding.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { bytesSource } from '../../src/formats/audio-stream.js';
import { openMp3 } from '../../src/formats/mp3-decoder.js';
import { encodeMp3, Mp3Encoder } from '../../src/formats/mp3-encoder.js';
import type { KitInputs } from '../../src/kit/kit-inputs.js';
import {
  LevelledSounds,
  type SoundSource,
  VOICE_FILE,
  VOICE_LAEQ_DBFS,
} from '../../src/kit/audio/levelled-sounds.js';
import { type KitPlan, planKit } from '../../src/kit/plan-kit.js';
import { stepAudio } from '../../src/kit/audio/step-audio.js';
import {
  measureAudio,
  type MeasuredFile,
  type Stretch,
} from '../../src/kit/verify/verify-audio.js';
import {
  ASLEEP_CEILING_DBA,
  ceilingInForce,
  GATES,
  LAFMAX_ABOVE_CEILING_DB,
  MOST_MINUTES,
  offsetLimits,
  TRUE_PEAK_GATE_DBTP,
  VOICE_DBA,
} from '../../src/levels/limits.js';
import { measureSound } from '../../src/levels/measure-sound.js';
import { aboveFadeDb, FASTEST_RISE_DB, largestRiseDb } from '../../src/levels/rise-gate.js';
import { shortMeanSquares } from '../../src/levels/short-levels.js';
import { stepDurationSeconds } from '../../src/plan/layout.js';
import { AGE_BANDS, type PlanSettings } from '../../src/protocol/plan-settings.js';
import { meanSquareToDbfs } from '../../src/signal/decibels.js';
import { SAMPLE_RATE_HZ, type Sound, soundOf } from '../../src/signal/sound.js';
import { arbitrarySound } from '../helpers/arbitrary-sounds.js';
import { planConstants } from '../helpers/plan-constants.js';
import { sha256, smallInputs } from '../helpers/small-kit.js';

/** Sums of decimal fractions are off by their binary rounding. */
const ROUNDING = 1e-6;

const APPROVAL = { approvedBy: 'A. Udiologist', reason: 'calibrated', date: '2027-01-05' };

/** What a study's plan may say, within and beyond what a study file is allowed. */
const settings: fc.Arbitrary<PlanSettings> = fc.record(
  {
    startOffsetDb: fc.double({ min: -60, max: 30 }),
    stepDb: fc.double({ min: 0.1, max: 30 }),
    sessionsPerDay: fc.integer({ min: 1, max: 50 }),
    minutesPerDay: fc.double({ min: 0.1, max: 1000 }),
    soundSensitive: fc.boolean(),
    asleep: fc.boolean(),
    hardSounds: fc.constantFrom(
      [],
      [{ scan: 'thump', how: 'alone' as const }],
      [{ scan: 'buzz', how: 'soften' as const }],
    ),
    ceiling: fc.record(
      {
        laeqDba: fc.oneof(
          fc.double({ min: 20, max: 90 }),
          fc.constantFrom(65, 67, 72, Number.NaN, Infinity),
        ),
        approvedBy: fc.constant(APPROVAL.approvedBy),
        reason: fc.constant(APPROVAL.reason),
        date: fc.constant(APPROVAL.date),
      },
      { requiredKeys: ['laeqDba'] },
    ),
  },
  { requiredKeys: [] },
);

const family = fc.record(
  {
    ageBand: fc.constantFrom(...AGE_BANDS),
    preset: fc.constantFrom('asleep' as const, 'sound-sensitive' as const),
    scanDate: fc.constantFrom('2027-03-05', '2027-03-20', '2027-06-01'),
  },
  { requiredKeys: ['ageBand'] },
);

/** The kit's plan; undefined when it is refused, in words or (what no study file can hold) as a range. */
function decided(inputs: KitInputs): KitPlan | undefined {
  try {
    return planKit(inputs, sha256);
  } catch (error) {
    if (error instanceof UserError || error instanceof RangeError) return undefined;
    throw error;
  }
}

describe('plans', () => {
  test('hold levels, rises, fades and minutes, whatever a study and a family ask for', () => {
    let [built, refused] = [0, 0];
    fc.assert(
      fc.property(settings, family, (plan, who) => {
        const kit = decided(smallInputs(plan, who));
        if (kit === undefined) {
          refused += 1;
          return;
        }
        built += 1;
        const gates = GATES[who.ageBand === 'adult' ? 'adult' : 'child'];
        const { steps, sessions } = kit.plan;
        const isAsleep = plan.asleep === true || who.preset === 'asleep' || who.ageBand === '0-1';
        for (const [i, { levelDb, onsetSeconds }] of steps.entries()) {
          expect(VOICE_DBA.high + levelDb).toBeLessThanOrEqual(gates.laeqDba + ROUNDING);
          if (isAsleep) {
            expect(VOICE_DBA.expected + levelDb).toBeLessThanOrEqual(ASLEEP_CEILING_DBA + ROUNDING);
          }
          expect(onsetSeconds).toBeGreaterThanOrEqual(0.05);
          if (i > 0) expect(levelDb - steps[i - 1]!.levelDb).toBeLessThanOrEqual(3 + ROUNDING);
        }
        const minutesOf = new Map(
          steps.map(({ number, sounds }) => [
            number,
            sounds.reduce((sum, { durationSeconds }) => sum + durationSeconds, 0) / 60,
          ]),
        );
        for (const { day } of sessions) {
          const within = (days: number): number =>
            sessions
              .filter(other => other.day >= day && other.day < day + days)
              .reduce((sum, { step }) => sum + minutesOf.get(step)!, 0);
          expect(within(1)).toBeLessThanOrEqual(MOST_MINUTES.perDay + ROUNDING);
          expect(within(7)).toBeLessThanOrEqual(MOST_MINUTES.perWeek + ROUNDING);
        }
      }),
      { seed: 1, numRuns: 300, endOnFailure: true },
    );
    // Both happened often, or the property says nothing.
    expect(built).toBeGreaterThan(80);
    expect(refused).toBeGreaterThan(40);
  });
});

/** Short levels where the voice reference is as loud as talk. */
const levelsAtPlace = (meanSquares: Float64Array, voiceDbfs: number): Float64Array =>
  meanSquares.map(square => meanSquareToDbfs(square) - voiceDbfs + VOICE_DBA.expected);

const sourceOf =
  (sounds: readonly Float64Array[]): SoundSource =>
  (scan, durationSeconds): Sound => {
    const samples = sounds[Number(scan.slice(1))]!;
    return soundOf(samples.subarray(0, Math.round(durationSeconds * SAMPLE_RATE_HZ)));
  };

const listener = fc.constantFrom('child' as const, 'adult' as const);

describe('sounds', () => {
  test('are within every gate, whatever they are and however loud they are wanted', () => {
    fc.assert(
      fc.property(
        arbitrarySound,
        listener,
        fc.double({ min: -40, max: 40, noNaN: true }),
        fc.constantFrom(0.05, 0.1, 0.5, 2, 4),
        fc.constantFrom(0, 0.5, 1),
        (samples, who, levelDb, onsetSeconds, softness) => {
          const limits = offsetLimits(ceilingInForce({ laeqDba: 67, ...APPROVAL }, who, ''), who);
          const levelled = new LevelledSounds(sourceOf([samples]), limits, planConstants.softness);
          const { sound } = levelled.scan({
            scan: 's0',
            durationSeconds: 8,
            onsetSeconds,
            fadeOutSeconds: 0.8,
            levelDb,
            softness,
          });
          const levels = measureSound(sound);
          const re = (dbfs: number): number => dbfs - VOICE_LAEQ_DBFS;
          const gates = GATES[who];
          expect(VOICE_DBA.expected + re(levels.laeqDbfs)).toBeLessThanOrEqual(67);
          expect(VOICE_DBA.high + re(levels.laeqDbfs)).toBeLessThanOrEqual(gates.laeqDba);
          expect(VOICE_DBA.high + re(levels.lafmaxDbfs)).toBeLessThanOrEqual(gates.lafmaxDba);
          expect(VOICE_DBA.high + re(levels.lcpeakDbfs)).toBeLessThanOrEqual(gates.lcpeakDbc);
          expect(levels.truePeakDbtp).toBeLessThanOrEqual(TRUE_PEAK_GATE_DBTP);
          const heard = levelsAtPlace(shortMeanSquares(sound), VOICE_LAEQ_DBFS);
          expect(largestRiseDb(heard)).toBeLessThanOrEqual(FASTEST_RISE_DB);
          expect(aboveFadeDb(heard, onsetSeconds)).toBeLessThanOrEqual(0);
        },
      ),
      { seed: 1, numRuns: 30, endOnFailure: true },
    );
  });
});

describe('decoded files', () => {
  test('of the first and the loudest step are within every gate', async () => {
    const encoder = await Mp3Encoder.create();
    let steps = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.array(arbitrarySound, { minLength: 1, maxLength: 3 }),
        settings,
        family,
        // The bit rates that kits are coded at.
        fc.constantFrom(64 as const, 48 as const, 40 as const),
        async (sounds, plan, who, bitrateKbps) => {
          const base = smallInputs({ ...plan, hardSounds: [] }, who);
          const source = sourceOf(sounds);
          const scans = sounds.map(({ length }, i) => ({
            name: `s${i}`,
            plainName: `Sound ${i}`,
            durationSeconds: length / SAMPLE_RATE_HZ,
          }));
          const inputs = { ...base, study: { ...base.study, scans, sound: source } };
          const kit = decided(inputs);
          if (kit === undefined) return;
          const levelled = new LevelledSounds(
            source,
            kit.limits,
            kit.constants.softness,
            kit.voiceOffsetDb,
          );
          const decode = (sound: Sound, stretches: readonly Stretch[]) => {
            const mp3 = bytesSource(encodeMp3(encoder, sound, bitrateKbps));
            return measureAudio(openMp3(mp3, 'step'), stretches);
          };
          const voice = await decode(levelled.voiceFile(), [
            { startSeconds: 0, endSeconds: VOICE_FILE.durationSeconds },
          ]);
          const voiceDbfs = voice.stretches[0]!.laeqDbfs;
          const loudest = kit.plan.steps.toSorted((a, b) => b.levelDb - a.levelDb)[0]!;
          for (const step of new Set([kit.plan.steps[0]!, loudest])) {
            // What is too long for a quick test is as loud as what is not.
            if (stepDurationSeconds(step, kit.constants.layout) > 90) continue;
            const audio = await stepAudio(step, kit.constants, levelled, inputs.study, () =>
              Promise.resolve(),
            );
            const measured = await decode(audio.sound, audio.sounds);
            expectWithinGates(kit, measured, voiceDbfs);
            const heard = levelsAtPlace(measured.shortMeanSquares, voiceDbfs);
            for (const { startSeconds, endSeconds } of audio.sounds) {
              const [from, to] = [startSeconds, endSeconds].map(s => Math.round(1000 * s));
              expect(aboveFadeDb(heard.subarray(from, to), step.onsetSeconds)).toBeLessThanOrEqual(
                0,
              );
            }
            steps += 1;
          }
        },
      ),
      { seed: 1, numRuns: 12, endOnFailure: true },
    );
    expect(steps).toBeGreaterThan(6);
  });
});

function expectWithinGates(
  { ceiling, listener: who }: KitPlan,
  measured: MeasuredFile,
  voiceDbfs: number,
): void {
  const gates = GATES[who];
  for (const { laeqDbfs } of measured.stretches) {
    const offsetDb = laeqDbfs - voiceDbfs;
    expect(VOICE_DBA.expected + offsetDb).toBeLessThanOrEqual(ceiling.laeqDba);
    expect(VOICE_DBA.high + offsetDb).toBeLessThanOrEqual(gates.laeqDba);
  }
  const lafmaxDb = measured.lafmaxDbfs - voiceDbfs;
  expect(VOICE_DBA.expected + lafmaxDb).toBeLessThanOrEqual(
    ceiling.laeqDba + LAFMAX_ABOVE_CEILING_DB,
  );
  expect(VOICE_DBA.high + lafmaxDb).toBeLessThanOrEqual(gates.lafmaxDba);
  expect(VOICE_DBA.high + measured.lcpeakDbfs - voiceDbfs).toBeLessThanOrEqual(gates.lcpeakDbc);
  expect(measured.truePeakDbtp).toBeLessThanOrEqual(TRUE_PEAK_GATE_DBTP);
  expect(largestRiseDb(levelsAtPlace(measured.shortMeanSquares, voiceDbfs))).toBeLessThanOrEqual(
    FASTEST_RISE_DB,
  );
}
