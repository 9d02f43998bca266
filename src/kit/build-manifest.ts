/**
 * The manifest of a kit from its plan and the levels of its audio.
 *
 * @module
 */
import type { Checksum } from '../formats/sha256sums.js';
import { VOICE_DBA } from '../levels/limits.js';
import { aWeightedSpectrum } from '../levels/low-end.js';
import { without } from '../protocol/without.js';
import { familyTexts, textsHash } from './approved-texts.js';
import { type AudioCoding, codingNotes } from './coding.js';
import { withLongestCue } from './heard.js';
import type { KitInputs, KitStudy } from './kit-inputs.js';
import { VOICE_FILE, VOICE_LAEQ_DBFS } from './levelled-sounds.js';
import {
  hundredths,
  loweredNotes,
  type MadeStep,
  manifestStep,
  micro,
  significant,
  withDoses,
} from './manifest-step.js';
import type {
  Manifest,
  ManifestDisc,
  ManifestRank,
  ManifestStep,
  UsedConstants,
} from './manifest.js';
import { type KitPlan, raisedNote } from './plan-kit.js';
import { kitPlayback, type PlayedScanSound } from './playback.js';
import { PICTURED_S, soundPicture } from './sound-picture.js';

/** What else is made. */
export interface MadeFiles {
  readonly voice: Checksum;
  readonly discs: readonly ManifestDisc[];
  readonly coding: AudioCoding;
}

export function buildManifest(
  { study, softwareVersion, texts, devices }: KitInputs,
  kitPlan: KitPlan,
  made: readonly MadeStep[],
  { voice, discs, coding }: MadeFiles,
  sha256: (text: string) => string,
): Manifest {
  const { code, listener, ceiling, plan } = kitPlan;
  const plainNames = new Map(study.scans.map(({ name, plainName }) => [name, plainName]));
  const { days, startDate, scanDate } = plan;
  const steps = withDoses(
    made.map(step => manifestStep(step, plainNames)),
    plan.sessions,
    listener,
  );
  const cues = [...(study.cues ?? [])].map(([scan, { sound, sha256 }]) => ({
    scan,
    seconds: micro(sound.length / sound.sampleRateHz),
    sha256,
  }));
  return {
    kit: code,
    version: 1,
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
    cues,
    pictures: study.scans.map(({ name }) => soundPicture(name, study.sound(name, PICTURED_S))),
    steps,
    discs,
    coding,
    sessions: plan.sessions,
    playback: kitPlayback({
      steps,
      sessions: plan.sessions,
      layout: withLongestCue(kitPlan.constants.layout, cues),
      listener,
      voiceDba: VOICE_DBA,
      devices,
      sounds: playedSounds(study, steps),
    }),
    plan: {
      days,
      startDate,
      scanDate,
      droppedSteps: plan.droppedSteps.length,
      constants: usedConstants(kitPlan),
    },
    documents: {
      language: texts.language,
      isReviewed: texts.unreviewed.length === 0,
      textsHash: textsHash(familyTexts(texts, study), sha256),
      contact: study.contact,
      protocol: study.scans.map(({ name, plainName, durationS }) => ({
        name,
        plainName,
        durationSeconds: micro(durationS),
      })),
      guideNote: study.guideNote ?? null,
    },
    history: [
      {
        version: 1,
        asOf: null,
        action: null,
        rule: null,
        why: null,
        nextStep: plan.steps[0]!.number,
        log: [],
        redRows: 0,
        restart: null,
        startDate,
        scanDate,
        days,
        sessions: plan.sessions,
      },
    ],
    notes: [
      ...(ceiling.raisedBy === null ? [] : [raisedNote(ceiling)]),
      ...plan.notes,
      ...loweredNotes(made),
      ...codingNotes(coding),
    ],
  };
}

/** What is heard, for what devices take off it. */
function playedSounds(
  { scans, sound }: KitStudy,
  steps: readonly ManifestStep[],
): readonly PlayedScanSound[] {
  const heard = new Set(steps.flatMap(({ sounds }) => sounds.map(({ scan }) => scan)));
  return scans
    .filter(({ name }) => heard.has(name))
    .map(({ name, plainName }) => ({
      scan: name,
      plainName,
      spectrum: aWeightedSpectrum(sound(name, PICTURED_S)),
    }));
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
