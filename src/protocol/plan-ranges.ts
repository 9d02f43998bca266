/**
 * The numbers of the graded plan: what each means and the range that neither the defaults nor a study
 * can leave. Limits that protect hearing are among them; levels have theirs in `levels/limits.ts`.
 *
 * @module
 */

/** A number's meaning and its range, both ends included. */
export interface PlanNumber {
  readonly meaning: string;
  readonly min: number;
  readonly max: number;
  /** Empty for a count. */
  readonly unit: '' | 's' | 'dB' | 'min' | 'd';
  readonly isWhole?: true;
}

/** A fade at home is never shorter, in s: a sudden start is what makes a soft sound startling. */
export const SHORTEST_ONSET_SECONDS = 0.05;

/** A step never rises by more, in dB. */
export const LARGEST_RISE_DB = 3;

const whole = (meaning: string, min: number, max: number): PlanNumber => ({
  meaning,
  min,
  max,
  unit: '',
  isWhole: true,
});

const number = (
  meaning: string,
  min: number,
  max: number,
  unit: PlanNumber['unit'],
): PlanNumber => ({
  meaning,
  min,
  max,
  unit,
});

export const PLAN_NUMBERS = {
  startOffsetDb: number('level of the first step re the voice reference', -40, 0, 'dB'),
  stepDb: number('rise from step to step', 0.5, LARGEST_RISE_DB, 'dB'),
  restDayEvery: whole('one day in so many is without practice', 2, 7),
  quietDays: whole('last days before the scan without a new step', 2, 7),
  minutesPerDay: number('most sound of a day', 0.5, 20, 'min'),
  minutesPerWeek: number('most sound of seven days', 1, 120, 'min'),
  daysPerStep: whole('most days on one step', 1, 7),
  daysPerNewStep: whole('fewest days from one new step to the next', 1, 7),
  shortestSoundSeconds: whole('shortest sound, in s', 2, 60),
  interludeOffsetDb: number('table and pre-scan re the sounds of their step', -30, 0, 'dB'),
  practiceRoomMinutes: number(
    "most sound of the visit for the lab's own practice room",
    1,
    60,
    'min',
  ),
  longestPauseSeconds: number('longest pause of a whole visit', 1, 120, 's'),
} as const satisfies Readonly<Record<string, PlanNumber>>;

/** Times of a step's audio. */
export const LAYOUT_NUMBERS = {
  leadInSeconds: number('silence at the start', 0.5, 10, 's'),
  voiceSeconds: number('voice reference', 2, 10, 's'),
  afterVoiceSeconds: number('silence after it', 0.5, 10, 's'),
  cueSeconds: number('cue', 0.5, 3, 's'),
  cueLeadSeconds: number('from the end of a cue to its sound', 0.5, 10, 's'),
  pauseSeconds: number('from the end of a sound to the next cue', 0.5, 60, 's'),
  protocolPauseSeconds: number('the same in the real order', 0.5, 60, 's'),
  endSeconds: number('silence at the end', 0.5, 10, 's'),
  fadeOutSeconds: number('longest fade at the end of a sound', 0.5, 5, 's'),
} as const satisfies Readonly<Record<string, PlanNumber>>;

/** What turns what a family noted into the next step. Marks go from 0 to 10. */
export const RULE_NUMBERS = {
  comfortableMark: whole('highest mark of a comfortable session', 0, 3),
  hardMark: whole('lowest mark of a hard session', 4, 6),
  redMark: whole('lowest mark that stops all practice', 7, 8),
  comfortableToAdvance: whole('comfortable sessions in a row that lead on', 2, 6),
  okBeforeHalfStep: whole('sessions that were only all right before a half step', 2, 10),
  backsBeforeTwo: whole('steps back in a row from which on it is two at a time', 2, 3),
  missedDays: whole('days without practice after which it goes on one step lower', 2, 7),
} as const satisfies Readonly<Record<string, PlanNumber>>;

type Numbers<T> = { readonly [K in keyof T]: number };

export type PlanScalars = Numbers<typeof PLAN_NUMBERS>;
export type LayoutConstants = Numbers<typeof LAYOUT_NUMBERS>;
export type RuleConstants = Numbers<typeof RULE_NUMBERS>;
