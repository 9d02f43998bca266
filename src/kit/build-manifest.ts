/**
 * The manifest of a kit from its plan and the levels of its audio.
 *
 * @module
 */
import type { Checksum } from '../formats/sha256sums.js';
import { VOICE_DBA } from '../levels/limits.js';
import { weeklyDosePercent } from '../levels/weekly-dose.js';
import type { Session, Step } from '../plan/plan.js';
import { without } from '../protocol/without.js';
import { type AudioCoding, codingNotes } from './coding.js';
import type { KitInputs } from './kit-inputs.js';
import { VOICE_FILE, VOICE_LAEQ_DBFS } from './levelled-sounds.js';
import type {
  Manifest,
  ManifestDisc,
  ManifestRank,
  ManifestStep,
  UsedConstants,
} from './manifest.js';
import { type KitPlan, raisedNote } from './plan-kit.js';
import { PICTURED_S, soundPicture } from './sound-picture.js';
import type { StepAudio } from './step-audio.js';

/** A step whose file is made. */
export interface MadeStep {
  readonly step: Step;
  readonly audio: StepAudio;
  readonly file: string;
  readonly sha256: string;
}

/** What else is made. */
export interface MadeFiles {
  readonly voice: Checksum;
  readonly discs: readonly ManifestDisc[];
  readonly coding: AudioCoding;
}

/** A sound lowered by less is not worth a note, in dB. */
const NOTED_DB = 0.05;

export function buildManifest(
  { study, softwareVersion }: KitInputs,
  kitPlan: KitPlan,
  made: readonly MadeStep[],
  { voice, discs, coding }: MadeFiles,
): Manifest {
  const { code, listener, ceiling, plan } = kitPlan;
  const plainNames = new Map(study.scans.map(({ name, plainName }) => [name, plainName]));
  const sessionsPerWeek = mostInSevenDays(plan.sessions);
  return {
    kit: code,
    study: study.name,
    protocolHash: study.protocolHash,
    seed: study.seed,
    software: { name: 'softknock', version: softwareVersion },
    approval: study.approval,
    ageBand: plan.ageBand,
    preset: plan.preset,
    listener,
    ceiling,
    voiceReference: {
      file: voice.path,
      sha256: voice.sha256,
      durationSeconds: VOICE_FILE.durationS,
      laeqDbfs: VOICE_LAEQ_DBFS,
      assumedDba: VOICE_DBA,
    },
    ranking: rankingOf(kitPlan),
    cues: [...(study.cues ?? [])].map(([scan, { sound, sha256 }]) => ({
      scan,
      seconds: micro(sound.length / sound.sampleRateHz),
      sha256,
    })),
    pictures: study.scans.map(({ name }) => soundPicture(name, study.sound(name, PICTURED_S))),
    steps: made.map(step => manifestStep(step, kitPlan, plainNames, sessionsPerWeek)),
    discs,
    coding,
    sessions: plan.sessions,
    plan: {
      days: plan.days,
      startDate: plan.startDate,
      scanDate: plan.scanDate,
      droppedSteps: plan.droppedSteps.length,
      constants: usedConstants(kitPlan),
    },
    notes: [
      ...(ceiling.raisedBy === null ? [] : [raisedNote(ceiling)]),
      ...plan.notes,
      ...loweredNotes(made),
      ...codingNotes(coding),
    ],
  };
}

function manifestStep(
  { step, audio, file, sha256 }: MadeStep,
  { listener }: KitPlan,
  plainNames: ReadonlyMap<string, string>,
  sessionsPerWeek: number,
): ManifestStep {
  const loudestDb = Math.max(...audio.sounds.map(({ offsetDb }) => offsetDb));
  const dose = (tooLoudDb: number): number =>
    significant(
      sessionsPerWeek *
        weeklyDosePercent(
          audio.sounds.map(({ offsetDb, startS, endS }) => ({
            levelDba: VOICE_DBA.expected + offsetDb + tooLoudDb,
            durationS: endS - startS,
          })),
          listener,
        ),
    );
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
    durationSeconds: audio.durationS,
    onsetSeconds: step.onsetS,
    voice: {
      startSeconds: micro(audio.voice.startS),
      endSeconds: micro(audio.voice.endS),
      offsetDb: hundredths(audio.voice.offsetDb),
    },
    sounds: audio.sounds.map(sound => ({
      scan: sound.scan,
      plainName: plainNames.get(sound.scan) ?? sound.scan,
      startSeconds: sound.startS,
      endSeconds: sound.endS,
      offsetDb: hundredths(sound.offsetDb),
      laeqDbfs: hundredths(sound.offsetDb + VOICE_LAEQ_DBFS),
      lafmaxOffsetDb: hundredths(sound.lafmaxOffsetDb),
      softness: sound.softness,
    })),
    interludes: audio.interludes.map(({ kind, startS, endS }) => ({
      kind,
      startSeconds: startS,
      endSeconds: endS,
    })),
    estimatedLaeqDba: {
      low: hundredths(VOICE_DBA.low + loudestDb),
      expected: hundredths(VOICE_DBA.expected + loudestDb),
      high: hundredths(VOICE_DBA.high + loudestDb),
    },
    weeklyDosePercent: {
      intended: dose(0),
      tenTooLoud: dose(10),
      twentyTooLoud: dose(20),
    },
  };
}

/** The plan's constants, as they held for this family. */
function usedConstants({ constants, preset }: KitPlan): UsedConstants {
  const { highestOffsetDb, band } = preset;
  return { ...without(constants, 'soundSensitive', 'asleep'), highestOffsetDb, bands: [band] };
}

const rankingOf = ({ ranking }: KitPlan): readonly ManifestRank[] =>
  ranking.map(sound => ({
    scan: sound.name,
    loudnessSone: significant(sound.loudnessSone),
    sharpnessAcum: significant(sound.sharpnessAcum),
    roughnessAsper: significant(sound.roughnessAsper),
    startDb: hundredths(sound.startDb),
    laterDb: hundredths(sound.laterDb),
    hardness: significant(sound.hardness),
  }));

/** Most sessions in any seven days in a row. */
function mostInSevenDays(sessions: readonly Session[]): number {
  return Math.max(
    ...sessions.map(
      ({ day }) => sessions.filter(other => other.day >= day && other.day < day + 7).length,
    ),
  );
}

/** One sentence per scan that a limit held below its planned level. */
function loweredNotes(made: readonly MadeStep[]): readonly string[] {
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

const micro = (seconds: number): number => Math.round(seconds * 1e6) / 1e6;
const hundredths = (db: number): number => Math.round(db * 100) / 100;
const significant = (value: number): number => Number(value.toPrecision(4));
