/**
 * The calendar: which step on which day.
 *
 * Rules without exception: at most one new step a day, every step in its turn, nothing new on the
 * last days before the scan, a rest day in every seven, and no more minutes a day and a week than
 * allowed. Days that do not suffice cut the plan's top; they never raise its pace.
 *
 * @module
 */
import { requireWhole } from '../signal/require.js';

export interface CalendarRules {
  /** Every so manieth day is without practice. */
  readonly restDayEvery: number;
  /** Days before the scan on which nothing new is played. */
  readonly quietDays: number;
  readonly sessionsPerDay: number;
  readonly minutesPerDay: number;
  readonly minutesPerWeek: number;
  /** Most days on which one step is played, as long as steps are left. */
  readonly daysPerStep: number;
}

/** A session, by day of the plan (1 is the first) and by number of the step. */
export interface DaySession {
  readonly day: number;
  readonly step: number;
}

/** Longest plan, in days. */
export const MOST_DAYS = 400;

/**
 * Sessions of a plan.
 *
 * @param stepMinutes - Sound of each step, in minutes.
 * @param days - Days from the first of the plan to the one before the scan.
 * @returns Sessions in order. Their highest step is as far as the days reach; none when the days
 *   allow not even the first.
 * @throws {RangeError} `days` is not a whole number from 0 to {@link MOST_DAYS}.
 */
export function planSessions(
  stepMinutes: readonly number[],
  days: number,
  rules: CalendarRules,
): readonly DaySession[] {
  requireWhole(days, 'days', 0, MOST_DAYS);
  // Days to spare make the plan slower: the slowest pace that still reaches as far as the fastest.
  const fastest = walk(stepMinutes, days, rules, stepMinutes.length);
  const reach = reached(fastest);
  for (
    let newDays = rules.daysPerStep * stepMinutes.length;
    newDays > stepMinutes.length;
    newDays--
  ) {
    const slower = walk(stepMinutes, days, rules, newDays);
    if (reached(slower) === reach) return slower;
  }
  return fastest;
}

/**
 * Fewest days in which every step is reached.
 *
 * @throws {RangeError} The limits of minutes do not allow some step at all.
 */
export function daysNeeded(stepMinutes: readonly number[], rules: CalendarRules): number {
  for (let days = stepMinutes.length; days <= MOST_DAYS; days++) {
    if (reached(walk(stepMinutes, days, rules, stepMinutes.length)) === stepMinutes.length) {
      return days;
    }
  }
  throw new RangeError(`${stepMinutes.length} steps do not fit into ${MOST_DAYS} days`);
}

/** Number of the highest step; 0 for none. */
const reached = (sessions: readonly DaySession[]): number =>
  sessions.reduce((highest, { step }) => Math.max(highest, step), 0);

/**
 * Goes from day to day.
 *
 * @param newDays - On how many days of practice the steps are spread: step k begins on the
 *   `ceil((k - 1) x newDays / steps) + 1`th.
 */
function walk(
  stepMinutes: readonly number[],
  days: number,
  rules: CalendarRules,
  newDays: number,
): DaySession[] {
  const sessions: DaySession[] = [];
  const minutesOn = new Float64Array(days + 1);
  let step = 0;
  let practised = 0;
  for (let day = 1; day <= days; day++) {
    if (day % rules.restDayEvery === 0) continue;
    const mayBeNew = day <= days - rules.quietDays && step < stepMinutes.length;
    const isDue = practised >= Math.ceil((step * newDays) / stepMinutes.length);
    const today = mayBeNew && isDue ? step + 1 : step;
    if (today === 0) continue;
    const minutes = stepMinutes[today - 1]!;
    const week = minutesOn.subarray(Math.max(day - 6, 0), day).reduce((sum, m) => sum + m, 0);
    for (let n = 1; n <= rules.sessionsPerDay; n++) {
      if (n * minutes > rules.minutesPerDay || week + n * minutes > rules.minutesPerWeek) break;
      sessions.push({ day, step: today });
      minutesOn[day] = n * minutes;
      step = today;
    }
    if (minutesOn[day]! > 0) practised += 1;
  }
  return sessions;
}
