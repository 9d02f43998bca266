/**
 * When what is heard in a step: silence, a short voice reference, silence; then for each sound a
 * cue, a pause and the sound; a closing cue; silence.
 *
 * @module
 */
import type { LayoutConstants } from '../protocol/plan-constants.js';
import type { Step } from './plan.js';

/** What is heard; where nothing is listed there is silence. */
export type LayoutKind = 'voice' | 'cue' | 'sound' | 'background' | 'end-cue';

export interface LayoutPart {
  readonly kind: LayoutKind;
  /** In s from the start of the file. */
  readonly startS: number;
  readonly endS: number;
  /** For `sound` and its `cue`: index into the step's sounds; for the others -1. */
  readonly sound: number;
}

export interface StepLayout {
  readonly durationS: number;
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
    parts.push({ kind, startS: grid(now), endS: grid(now + seconds), sound });
    now += seconds;
  };
  add('voice', layout.voiceSeconds);
  now += layout.afterVoiceSeconds;
  const pauseS = step.order === 'protocol' ? layout.protocolPauseSeconds : layout.pauseSeconds;
  for (const [i, { scan, durationS }] of step.sounds.entries()) {
    if (i > 0) {
      const betweenS = pauseS + cueLengths(scan) + layout.cueLeadSeconds;
      if (step.order === 'protocol') {
        parts.push({
          kind: 'background',
          startS: grid(now),
          endS: grid(now + betweenS),
          sound: -1,
        });
      }
      now += pauseS;
    }
    add('cue', cueLengths(scan), i);
    now += layout.cueLeadSeconds;
    add('sound', durationS, i);
  }
  now += layout.pauseSeconds;
  add('end-cue', cueLengths(null));
  return { durationS: grid(now + layout.endSeconds), parts };
}

/** Length of a step's audio in s. */
export const stepDurationS = (
  step: Step,
  layout: LayoutConstants,
  cueLengths?: CueLengths,
): number => layoutStep(step, layout, cueLengths).durationS;

/** Sound of a step in s, without silence and cues: what limits of minutes count. */
export const soundSeconds = (step: Step): number =>
  grid(step.sounds.reduce((sum, { durationS }) => sum + durationS, 0));

/** Sums of tenths of a second without their binary dust: whole microseconds. */
const grid = (seconds: number): number => Math.round(seconds * 1e6) / 1e6;
