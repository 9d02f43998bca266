/**
 * A step as the manifest tells it.
 *
 * @module
 */
import type { LevelRange } from '../../levels/scan-levels.js';
import type { Listener } from '../../levels/limits.js';
import { weeklyDosePercent } from '../../levels/weekly-dose.js';
import type { Session, Step } from '../../plan/plan.js';
import { playedParts } from '../audio/heard-parts.js';
import { VOICE_LAEQ_DBFS } from '../audio/levelled-sounds.js';
import type { ManifestStep } from './manifest.js';
import type { StepLevels } from '../audio/step-audio.js';

/** A step whose file is made. */
export interface MadeStep {
  readonly step: Step;
  readonly audio: StepLevels;
  readonly file: string;
  readonly sha256: string;
}

/** A sound lowered by less is not worth a note, in dB. */
const NOTED_DB = 0.05;

/** A step without its dose, which depends on how often it is played. */
export type UndosedStep = Omit<ManifestStep, 'weeklyDosePercent'>;

/**
 * @param plainNames - Names that families read, by those of the scans.
 * @param voiceDba - Level of the voice reference at the listener's place.
 */
export function manifestStep(
  { step, audio, file, sha256 }: MadeStep,
  plainNames: ReadonlyMap<string, string>,
  voiceDba: LevelRange,
): UndosedStep {
  return {
    number: step.number,
    file,
    sha256,
    change: step.change,
    order: step.order,
    softness: step.softness,
    announced: step.announced,
    posture: step.posture,
    plannedOffsetDb: hundredths(step.levelDb),
    durationSeconds: audio.durationSeconds,
    onsetSeconds: step.onsetSeconds,
    voice: {
      startSeconds: micro(audio.voice.startSeconds),
      endSeconds: micro(audio.voice.endSeconds),
      offsetDb: hundredths(audio.voice.offsetDb),
    },
    sounds: audio.sounds.map(sound => ({
      scan: sound.scan,
      plainName: plainNames.get(sound.scan) ?? sound.scan,
      startSeconds: sound.startSeconds,
      endSeconds: sound.endSeconds,
      offsetDb: hundredths(sound.offsetDb),
      laeqDbfs: hundredths(sound.offsetDb + VOICE_LAEQ_DBFS),
      lafmaxOffsetDb: hundredths(sound.lafmaxOffsetDb),
      softness: sound.softness,
    })),
    interludes: audio.interludes.map(({ kind, startSeconds, endSeconds, offsetDb }) => ({
      kind,
      startSeconds: startSeconds,
      endSeconds: endSeconds,
      offsetDb: hundredths(offsetDb),
    })),
    estimatedLaeqDba: estimatedLevels(
      audio.sounds.map(({ offsetDb }) => ({ offsetDb: hundredths(offsetDb) })),
      voiceDba,
    ),
  };
}

/** Level at the listener's place while the loudest of these sounds plays. */
export function estimatedLevels(
  sounds: readonly { readonly offsetDb: number }[],
  voiceDba: LevelRange,
): LevelRange {
  const loudestDb = Math.max(...sounds.map(({ offsetDb }) => offsetDb));
  return {
    low: hundredths(voiceDba.low + loudestDb),
    expected: hundredths(voiceDba.expected + loudestDb),
    high: hundredths(voiceDba.high + loudestDb),
  };
}

/**
 * The steps with the dose of a week of the plan.
 *
 * @param voiceDba - Level of the voice reference at the listener's place.
 */
export function withDoses(
  steps: readonly UndosedStep[],
  sessions: readonly Session[],
  listener: Listener,
  voiceDba: LevelRange,
): readonly ManifestStep[] {
  const sessionsPerWeek = mostInSevenDays(sessions);
  return steps.map(step => {
    const dose = (tooLoudDb: number): number =>
      significant(
        sessionsPerWeek *
          weeklyDosePercent(
            playedParts(step).map(({ offsetDb, startSeconds, endSeconds }) => ({
              levelDba: voiceDba.expected + offsetDb + tooLoudDb,
              durationSeconds: endSeconds - startSeconds,
            })),
            listener,
          ),
      );
    return {
      ...step,
      weeklyDosePercent: {
        intended: dose(0),
        tenTooLoud: dose(10),
        twentyTooLoud: dose(20),
      },
    };
  });
}

/** Most sessions in any seven days in a row. */
function mostInSevenDays(sessions: readonly Session[]): number {
  return Math.max(
    0,
    ...sessions.map(
      ({ day }) => sessions.filter(other => other.day >= day && other.day < day + 7).length,
    ),
  );
}

/** One sentence per scan that a limit held below its planned level. */
export function loweredNotes(made: readonly MadeStep[]): readonly string[] {
  const lowered = new Map<string, { mostDb: number; steps: number[] }>();
  for (const { step, audio } of made) {
    for (const sound of audio.sounds) {
      if (sound.loweredDb < NOTED_DB) continue;
      const entry = lowered.get(sound.scan) ?? { mostDb: 0, steps: [] };
      lowered.set(sound.scan, {
        mostDb: Math.max(entry.mostDb, sound.loweredDb),
        steps: [...entry.steps, step.number],
      });
    }
  }
  return [...lowered].map(([scan, { mostDb, steps }]) => {
    const where = steps.length === 1 ? `step ${steps[0]!}` : `steps ${steps.join(', ')}`;
    return `${scan} is up to ${mostDb.toFixed(1)} dB softer than planned in ${where}, so that its short loud moments stay within the limits.`;
  });
}

/** Whole microseconds, in s. */
export const micro = (seconds: number): number => Math.round(seconds * 1e6) / 1e6;
export const hundredths = (db: number): number => Math.round(db * 100) / 100;
export const significant = (value: number): number => Number(value.toPrecision(4));
