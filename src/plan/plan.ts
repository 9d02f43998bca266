/**
 * What a plan is: steps, from soft to ordinary talking level, and the days they are played on.
 *
 * @module
 */
import type { Preset } from '../protocol/plan-preset.js';

/**
 * The axis on which a step differs from the one before it; exactly one per step. `alone` begins the
 * ladder of one hard sound, `together` ends it; `softer` is the variant below the first step, `half`
 * lies halfway between two steps.
 */
export const STEP_CHANGES = [
  'start',
  'level',
  'sounds',
  'duration',
  'onset',
  'softness',
  'announced',
  'posture',
  'order',
  'visit',
  'alone',
  'together',
  'softer',
  'half',
] as const;

export type StepChange = (typeof STEP_CHANGES)[number];

/** Gentlest sound first, or the order of the scan day with its pauses. */
export type StepOrder = 'gentle' | 'protocol';

/** What the child does meanwhile: something nice, or lying still as in the scanner. */
export type Posture = 'any' | 'lying-still';

/** One sound of a step. */
export interface PlannedSound {
  /** Name of the scan. */
  readonly scan: string;
  /** How long it is heard, in s, onset included. */
  readonly durationSeconds: number;
  /** From 0, the full sound, to 1, dull and even. */
  readonly softness: number;
}

/** What is heard between the scans of a whole visit. */
export const INTERLUDE_KINDS = ['table-motion', 'pre-scan', 'pause'] as const;

export type InterludeKind = (typeof INTERLUDE_KINDS)[number];

export interface PlannedInterlude {
  readonly kind: InterludeKind;
  readonly durationSeconds: number;
  /** Index of the sound it comes before; the number of sounds for after the last. */
  readonly before: number;
}

/** One rung of the plan: one audio file. */
export interface Step {
  /** 1, 2, 3 ...; half steps end in .5. */
  readonly number: number;
  readonly change: StepChange;
  /** Level of its sounds in dB re the voice reference (LAeq minus LAeq). */
  readonly levelDb: number;
  /** Length of the fade at the start of each sound, in s; at least 0.05 at home. */
  readonly onsetSeconds: number;
  /** From 0, the full sound, to 1, dull and even; single sounds may be softer. */
  readonly softness: number;
  /** Whether a cue comes before each sound; else there is one before the first. */
  readonly announced: boolean;
  readonly posture: Posture;
  readonly order: StepOrder;
  /** In the order they are heard. */
  readonly sounds: readonly PlannedSound[];
  /** In the order they are heard; empty but in a whole visit. */
  readonly interludes: readonly PlannedInterlude[];
}

/** One sitting: a step on a day. */
export interface Session {
  /** 1 is the first day of the plan. */
  readonly day: number;
  /** `YYYY-MM-DD`, or null when the plan only counts days. */
  readonly date: string | null;
  /** Number of the step. */
  readonly step: number;
}

export interface Plan {
  /** Name of the age band, for example `7-9`. */
  readonly ageBand: string;
  readonly preset: Preset;
  /** Length of the plan in days, rest days included. The scan is on the day after the last. */
  readonly days: number;
  /** `YYYY-MM-DD` of day 1, or null when the plan only counts days. */
  readonly startDate: string | null;
  /** `YYYY-MM-DD`, or null when none was given. */
  readonly scanDate: string | null;
  readonly steps: readonly Step[];
  readonly sessions: readonly Session[];
  /** Steps that the full plan would have had and for which the days did not suffice. */
  readonly droppedSteps: readonly Step[];
  /** Sentences for staff: what was shortened or left out, and why. */
  readonly notes: readonly string[];
}
