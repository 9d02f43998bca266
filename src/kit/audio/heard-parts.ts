/**
 * All that is heard of a kit, re the voice reference: what its dose is made of.
 *
 * @module
 */
import type { HeardStretch } from '../../levels/playback.js';
import type { LayoutConstants } from '../../protocol/plan-ranges.js';
import { dbToPower } from '../../signal/decibels.js';
import { VOICE_FADES, VOICE_FILE } from './levelled-sounds.js';
import type { ManifestCue, ManifestSession, ManifestStep } from '../manifest/manifest.js';

/** The part of a step that is heard. */
export type HeardStep = Pick<ManifestStep, 'number' | 'sounds' | 'interludes' | 'voice'>;

/** A stretch of the scanner in a step. */
export interface PlayedPart {
  /** Name of the scan, or kind of interlude. */
  readonly what: string;
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly offsetDb: number;
  /** Null for what lies between sounds. */
  readonly lafmaxOffsetDb: number | null;
}

/** What a step plays of the scanner, in the order of time: its sounds, and what lies between them. */
export const playedParts = ({
  sounds,
  interludes,
}: Pick<ManifestStep, 'sounds' | 'interludes'>): readonly PlayedPart[] =>
  [
    ...sounds.map(({ scan, ...sound }) => ({ what: scan, ...sound })),
    ...interludes.map(({ kind, ...between }) => ({ what: kind, lafmaxOffsetDb: null, ...between })),
  ].toSorted((a, b) => a.startSeconds - b.startSeconds);

/** The layout with the longest cue for all: recorded cues have lengths of their own. */
export const withLongestCue = (
  { cueSeconds }: Pick<LayoutConstants, 'cueSeconds'>,
  cues: readonly Pick<ManifestCue, 'seconds'>[],
): Pick<LayoutConstants, 'cueSeconds'> =>
  cues.length === 0 ? { cueSeconds } : { cueSeconds: Math.max(...cues.map(c => c.seconds)) };

/**
 * What a family hears in one session: the voice reference, to check the volume; then the step with
 * its own short voice, its cues, its sounds and what lies between them. Fades count in full.
 */
export function heardInSession(
  { voice, ...step }: HeardStep,
  { cueSeconds }: Pick<LayoutConstants, 'cueSeconds'>,
): readonly HeardStretch[] {
  const { sounds } = step;
  const softest = Math.min(...sounds.map(({ offsetDb }) => offsetDb));
  const fadesSeconds = VOICE_FADES.fadeInSeconds + VOICE_FADES.fadeOutSeconds;
  return [
    { offsetDb: 0, durationSeconds: VOICE_FILE.durationSeconds },
    {
      offsetDb: voice.offsetDb,
      durationSeconds: voice.endSeconds - voice.startSeconds + fadesSeconds,
    },
    // A cue's highest FAST level is that of its sound, or of talk where the sound is louder.
    ...[...sounds.map(({ offsetDb }) => offsetDb), softest].map(offsetDb => ({
      offsetDb: Math.min(offsetDb, 0),
      durationSeconds: cueSeconds,
    })),
    ...playedParts(step).map(({ offsetDb, startSeconds, endSeconds }) => ({
      offsetDb,
      durationSeconds: endSeconds - startSeconds,
    })),
  ];
}

/** Sessions, and all that is heard in them. */
export interface HeardWeek {
  readonly sessions: number;
  readonly heard: readonly HeardStretch[];
}

/** The seven days in a row in which most sound reaches the listener. */
export function busiestWeek(
  steps: readonly HeardStep[],
  sessions: readonly ManifestSession[],
  layout: Pick<LayoutConstants, 'cueSeconds'>,
): HeardWeek {
  const heardIn = new Map(steps.map(step => [step.number, heardInSession(step, layout)]));
  let busiest: readonly ManifestSession[] = [];
  let most = -Infinity;
  for (const { day } of sessions) {
    const week = sessions.filter(other => other.day >= day && other.day < day + 7);
    const sum = week.reduce((total, { step }) => total + energy(heardIn.get(step)!), 0);
    if (sum > most) [busiest, most] = [week, sum];
  }
  return { sessions: busiest.length, heard: busiest.flatMap(({ step }) => heardIn.get(step)!) };
}

/** In s of the voice reference. */
const energy = (heard: readonly HeardStretch[]): number =>
  heard.reduce(
    (sum, { offsetDb, durationSeconds }) => sum + dbToPower(offsetDb) * durationSeconds,
    0,
  );
