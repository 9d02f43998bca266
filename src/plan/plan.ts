/**
 * What a plan is: steps, from soft to ordinary talking level, and the days they are played on.
 *
 * @module
 */

/** The axis on which a step differs from the one before it; exactly one per step. */
export type StepChange = 'start' | 'level' | 'sounds' | 'duration' | 'onset' | 'order';

/** Gentlest sound first, or the order of the scan day with its pauses. */
export type StepOrder = 'gentle' | 'protocol';

/** One sound of a step. */
export interface PlannedSound {
  /** Name of the scan. */
  readonly scan: string;
  /** How long it is heard, in s, onset included. */
  readonly durationS: number;
}

/** One rung of the plan: one audio file. */
export interface Step {
  /** 1, 2, 3 ... */
  readonly number: number;
  readonly change: StepChange;
  /** Level of its sounds in dB re the voice reference (LAeq minus LAeq). */
  readonly levelDb: number;
  /** Length of the fade at the start of each sound, in s; at least 0.05 at home. */
  readonly onsetS: number;
  readonly order: StepOrder;
  /** In the order they are heard. */
  readonly sounds: readonly PlannedSound[];
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
