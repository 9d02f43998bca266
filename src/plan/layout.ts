/**
 * When what is heard in a step: silence, a short voice reference, silence; then for each sound a
 * cue, a pause and the sound; a closing cue; silence. A whole visit has the table, pre-scan and real
 * pauses between the sounds.
 *
 * @module
 */
import type { LayoutConstants } from '../protocol/plan-ranges.js';
import { isSounding } from './interludes.js';
import type { PlannedInterlude, PlannedSound, Step } from './plan.js';

/** What is heard; where nothing is listed there is silence. */
export type LayoutKind = 'voice' | 'cue' | 'sound' | 'background' | 'interlude' | 'end-cue';

export interface LayoutPart {
  readonly kind: LayoutKind;
  /** In s from the start of the file. */
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** For `sound` and its `cue`: index into the step's sounds; for the others -1. */
  readonly sound: number;
  /** For `interlude`: index into the step's interludes. */
  readonly interlude?: number;
}

export interface StepLayout {
  readonly durationSeconds: number;
  /** By start. `background` runs below the cues between two sounds. */
  readonly parts: readonly LayoutPart[];
}

/** Length in s of the cue before a scan's sound; of the closing cue for null. */
export type CueLengths = (scan: string | null) => number;

/**
 * The timetable of a step.
 *
 * @param cueLengths - Where cues have lengths of their own; else all have the layout's.
 */
export function layoutStep(
  step: Step,
  layout: LayoutConstants,
  cueLengths: CueLengths = () => layout.cueSeconds,
): StepLayout {
  const parts: LayoutPart[] = [];
  let now = layout.leadInSeconds;
  const add = (kind: LayoutKind, seconds: number, sound = -1): void => {
    parts.push({ kind, startSeconds: grid(now), endSeconds: grid(now + seconds), sound });
    now += seconds;
  };
  add('voice', layout.voiceSeconds);
  now += layout.afterVoiceSeconds;
  const pauseSeconds =
    step.order === 'protocol' ? layout.protocolPauseSeconds : layout.pauseSeconds;
  const isVisit = step.interludes.length > 0;
  /** What lies before a sound of a visit, or after the last one. */
  const between = (before: number): void => {
    for (const [index, interlude] of step.interludes.entries()) {
      const { durationSeconds, before: place } = interlude;
      if (place !== before) continue;
      if (isSounding(interlude)) {
        const [startSeconds, endSeconds] = [grid(now), grid(now + durationSeconds)];
        parts.push({ kind: 'interlude', startSeconds, endSeconds, sound: -1, interlude: index });
      }
      now += durationSeconds;
    }
  };
  /** The scanner itself, from a time until now. */
  const background = (fromSeconds: number): void => {
    parts.push({
      kind: 'background',
      startSeconds: grid(fromSeconds),
      endSeconds: grid(now),
      sound: -1,
    });
  };
  for (const [i, { scan, durationSeconds }] of step.sounds.entries()) {
    const fromSeconds = now;
    if (isVisit) between(i);
    else if (i > 0) now += pauseSeconds;
    if (step.announced || i === 0) {
      add('cue', cueLengths(scan), i);
      now += layout.cueLeadSeconds;
    }
    if (isVisit || (step.order === 'protocol' && i > 0)) background(fromSeconds);
    add('sound', durationSeconds, i);
  }
  if (isVisit) {
    const fromSeconds = now;
    between(step.sounds.length);
    if (now > fromSeconds) background(fromSeconds);
  }
  now += layout.pauseSeconds;
  add('end-cue', cueLengths(null));
  return {
    durationSeconds: grid(now + layout.endSeconds),
    parts: parts.toSorted((a, b) => a.startSeconds - b.startSeconds),
  };
}

/** Length of a step's audio in s. */
export const stepDurationSeconds = (
  step: Step,
  layout: LayoutConstants,
  cueLengths?: CueLengths,
): number => layoutStep(step, layout, cueLengths).durationSeconds;

/**
 * What a step plays of the scanner, in s: its scans, and the table and pre-scan of a visit. That is what
 * limits of minutes count; silence, background and cues are not among it.
 */
export const secondsOfSound = ({
  sounds,
  interludes,
}: {
  readonly sounds: readonly Pick<PlannedSound, 'durationSeconds'>[];
  readonly interludes: readonly Pick<PlannedInterlude, 'kind' | 'durationSeconds'>[];
}): number =>
  grid(
    [...sounds, ...interludes.filter(isSounding)].reduce(
      (sum, { durationSeconds }) => sum + durationSeconds,
      0,
    ),
  );

/** Sums of tenths of a second without their binary dust: whole microseconds. */
const grid = (seconds: number): number => Math.round(seconds * 1e6) / 1e6;
