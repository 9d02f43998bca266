/**
 * What a family noted of a session, as the rules of the plan read it.
 *
 * @module
 */

/** Signs of distress: the session was hard. */
export const HARD_SIGNS = ['ears', 'cried', 'left', 'froze', 'asked_stop'] as const;

/** Signs after which all practice stops until staff have spoken with the family. */
export const RED_SIGNS = [
  'pain',
  'ringing',
  'seizure',
  'panic',
  'vomited',
  'hurt_self',
  'upset_long',
  'refused_next_day',
] as const;

export const SIGNS = [...HARD_SIGNS, ...RED_SIGNS] as const;

export type Sign = (typeof SIGNS)[number];

/** Who ended a session before its end. */
export const STOPPERS = ['child', 'parent', 'outside'] as const;

export type Stopper = (typeof STOPPERS)[number];

/** One session. What was not noted, or could not be read, is null. */
export interface LogEntry {
  /** Line of the log, from 1; the header is line 1. */
  readonly line: number;
  /** `YYYY-MM-DD`. */
  readonly date: string;
  /** `HH:MM`, 24 hours. */
  readonly time: string | null;
  /** Number of a step; half steps end in .5. */
  readonly step: number;
  readonly volumeSet: boolean | null;
  readonly completed: boolean | null;
  /** 0 to 10. */
  readonly childRating: number | null;
  readonly parentRating: number | null;
  readonly signs: readonly Sign[];
  readonly stoppedBy: Stopper | null;
  readonly interrupted: boolean | null;
  readonly volumeTouched: boolean | null;
  /** Whether something in the row could not be read: such a session never counts as comfortable. */
  readonly isDoubtful: boolean;
}
