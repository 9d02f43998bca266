/**
 * The manifest of a kit from its plan and the levels of its audio.
 *
 * @module
 */
import type { Checksum } from '../../formats/sha256sums.js';
import { type AWeightedSpectrum, aWeightedSpectrum } from '../../levels/small-speaker.js';
import type { DeviceClass } from '../../levels/playback.js';
import type { Plan } from '../../plan/plan.js';
import type { PlanPreset } from '../../protocol/plan-preset.js';
import { without } from '../../protocol/without.js';
import { familyTexts, textsHash } from '../words/approved-texts.js';
import { type AudioCoding, codingNotes } from '../audio/coding.js';
import { withLongestCue } from '../audio/heard-parts.js';
import type { KitInputs, KitStudy } from '../kit-inputs.js';
import { VOICE_FILE, VOICE_LAEQ_DBFS } from '../audio/levelled-sounds.js';
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
  ManifestVersion,
  UsedConstants,
} from './manifest.js';
import { type KitPlan, raisedNote } from '../plan-kit.js';
import { kitPlayback, type PlayedScanSound } from './playback.js';
import { remembered } from '../audio/sound-memory.js';
import { PICTURED_SECONDS, type SoundPicture, soundPicture } from '../audio/sound-picture.js';

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
  const { code, listener, ceiling, plan, voiceDba } = kitPlan;
  const plainNames = new Map(study.scans.map(({ name, plainName }) => [name, plainName]));
  const { days, startDate, scanDate } = plan;
  const steps = withDoses(
    made.map(step => manifestStep(step, plainNames, voiceDba)),
    plan.sessions,
    listener,
    voiceDba,
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
      durationSeconds: VOICE_FILE.durationSeconds,
      laeqDbfs: VOICE_LAEQ_DBFS,
      assumedDba: voiceDba,
      measured: kitPlan.measuredDevice,
    },
    ranking: rankingOf(kitPlan),
    cues,
    pictures: study.scans.map(({ name }) => pictureOf(name, study)),
    steps,
    discs,
    coding,
    sessions: plan.sessions,
    playback: kitPlayback({
      steps,
      sessions: plan.sessions,
      layout: withLongestCue(kitPlan.constants.layout, cues),
      listener,
      voiceDba,
      devices,
      sounds: playedSounds(study, steps, devices),
    }),
    plan: {
      days,
      startDate,
      scanDate,
      droppedSteps: plan.droppedSteps.length,
      constants: usedConstants(kitPlan.preset),
    },
    documents: {
      language: texts.language,
      isReviewed: texts.unreviewed.length === 0,
      textsHash: textsHash(familyTexts(texts, study), sha256),
      contact: study.contact,
      protocol: study.scans.map(({ name, plainName, durationSeconds }) => ({
        name,
        plainName,
        durationSeconds: micro(durationSeconds),
      })),
      guideNote: study.guideNote ?? null,
    },
    history: [firstVersion(plan)],
    notes: [
      ...(ceiling.raisedBy === null ? [] : [raisedNote(ceiling)]),
      ...plan.notes,
      ...loweredNotes(made),
      ...codingNotes(coding),
    ],
  };
}

function pictureOf(scan: string, { sound, memory }: KitStudy): SoundPicture {
  const drawn = remembered(
    memory,
    () => ['picture', PICTURED_SECONDS, memory!.ofScan(scan)],
    () => without(soundPicture(scan, sound(scan, PICTURED_SECONDS)), 'scan'),
  );
  return { scan, ...drawn };
}

/** What is heard, for what devices take off it. */
function playedSounds(
  study: KitStudy,
  steps: readonly ManifestStep[],
  devices: readonly DeviceClass[],
): readonly PlayedScanSound[] {
  const heard = new Set(steps.flatMap(({ sounds }) => sounds.map(({ scan }) => scan)));
  return study.scans
    .filter(({ name }) => heard.has(name))
    .map(({ name, plainName }) => ({
      scan: name,
      plainName,
      spectrum: spectrumOf(name, study, devices),
    }));
}

/** The spectrum of a scan, as far as devices ask for it. */
function spectrumOf(
  scan: string,
  { sound, memory }: KitStudy,
  devices: readonly DeviceClass[],
): AWeightedSpectrum | undefined {
  const lowEndsHz = devices.map(({ lowEndHz }) => lowEndHz);
  const seen = remembered(
    memory,
    () => ['spectrum', PICTURED_SECONDS, lowEndsHz, memory!.ofScan(scan)],
    () => {
      const spectrum = aWeightedSpectrum(sound(scan, PICTURED_SECONDS));
      if (spectrum === undefined) return null;
      const { toneHz, belowPercent } = spectrum;
      return { toneHz, percents: lowEndsHz.map(belowPercent) };
    },
  );
  if (seen === null) return undefined;
  const { toneHz, percents } = seen;
  return { toneHz, belowPercent: hertz => percents[lowEndsHz.indexOf(hertz)]! };
}

/** The plan as the kit was built with it. */
export const firstVersion = ({
  steps,
  sessions,
  startDate,
  scanDate,
  days,
}: Plan): ManifestVersion => ({
  version: 1,
  asOf: null,
  action: null,
  rule: null,
  why: null,
  nextStep: steps[0]!.number,
  log: [],
  redRows: 0,
  restart: null,
  startDate,
  scanDate,
  days,
  sessions,
});

/** The plan's constants, as they held for this family. */
export function usedConstants({ constants, highestOffsetDb, band }: PlanPreset): UsedConstants {
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
