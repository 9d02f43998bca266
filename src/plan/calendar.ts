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
  /** Fewest days from one new step to the next. */
  readonly daysPerNewStep: number;
}

/** A session, by day of the plan (1 is the first) and by place of the step on the ladder (1 is the first). */
export interface DaySession {
  readonly day: number;
  readonly step: number;
}

/** Where a plan that has begun goes on. */
export interface CalendarStart {
  /** First day that is planned. */
  readonly day: number;
  /** Place of the step that is played first; 0 for none yet, so that the first is a new one. */
  readonly step: number;
  /** Sessions on that step before a new one. */
  readonly sessionsBeforeNew: number;
  /** Day of the last new step. */
  readonly lastNewDay: number;
  /** Minutes of sound on earlier days. */
  readonly minutes: ReadonlyMap<number, number>;
}

/** Longest plan, in days. */
export const MOST_DAYS = 400;

const THE_BEGINNING: CalendarStart = {
  day: 1,
  step: 0,
  sessionsBeforeNew: 0,
  lastNewDay: -MOST_DAYS,
  minutes: new Map(),
};

/**
 * Sessions of a plan.
 *
 * @param stepMinutes - Sound of each step, in minutes.
 * @param days - Days from the first of the plan to the one before the scan.
 * @param start - Where it goes on; at the beginning when not given.
 * @returns Sessions in order. Their highest step is as far as the days reach; none when the days
 *   allow not even the first.
 * @throws {RangeError} `days` is not a whole number from 0 to {@link MOST_DAYS}.
 */
export function planSessions(
  stepMinutes: readonly number[],
  days: number,
  rules: CalendarRules,
  start: CalendarStart = THE_BEGINNING,
): readonly DaySession[] {
  requireWhole(days, 'days', 0, MOST_DAYS);
  // Days to spare make the plan slower: the slowest pace that still reaches as far as the fastest.
  const left = stepMinutes.length - start.step;
  const fastest = walk(stepMinutes, days, rules, left, start);
  const reach = reached(fastest);
  for (let newDays = rules.daysPerStep * left; newDays > left; newDays--) {
    const slower = walk(stepMinutes, days, rules, newDays, start);
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
    const sessions = walk(stepMinutes, days, rules, stepMinutes.length, THE_BEGINNING);
    if (reached(sessions) === stepMinutes.length) return days;
  }
  throw new RangeError(`${stepMinutes.length} steps do not fit into ${MOST_DAYS} days`);
}

/** Place of the highest step; 0 for none. */
const reached = (sessions: readonly DaySession[]): number =>
  sessions.reduce((highest, { step }) => Math.max(highest, step), 0);

/**
 * Goes from day to day.
 *
 * @param newDays - On how many days of practice the steps that are left are spread: the kth of them
 *   begins on the `ceil((k - 1) x newDays / steps) + 1`th.
 */
function walk(
  stepMinutes: readonly number[],
  days: number,
  rules: CalendarRules,
  newDays: number,
  start: CalendarStart,
): DaySession[] {
  const sessions: DaySession[] = [];
  const minutesOn = new Map(start.minutes);
  const left = stepMinutes.length - start.step;
  let { step, lastNewDay } = start;
  // Days of practice since new steps may come.
  let practised = 0;
  for (let day = start.day; day <= days; day++) {
    if (day % rules.restDayEvery === 0) continue;
    const mayBeNew =
      day <= days - rules.quietDays &&
      step < stepMinutes.length &&
      day - lastNewDay >= rules.daysPerNewStep &&
      sessions.length >= start.sessionsBeforeNew;
    const isDue = practised >= Math.ceil(((step - start.step) * newDays) / left);
    const today = mayBeNew && isDue ? step + 1 : step;
    if (today === 0) continue;
    const minutes = stepMinutes[today - 1]!;
    let week = 0;
    for (let ago = 1; ago <= 6; ago++) week += minutesOn.get(day - ago) ?? 0;
    let count = 0;
    while (
      count < rules.sessionsPerDay &&
      (count + 1) * minutes <= rules.minutesPerDay &&
      week + (count + 1) * minutes <= rules.minutesPerWeek
    ) {
      count += 1;
      sessions.push({ day, step: today });
    }
    if (count === 0) continue;
    minutesOn.set(day, count * minutes);
    if (today > step) lastNewDay = day;
    step = today;
    if (sessions.length > start.sessionsBeforeNew) practised += 1;
  }
  return sessions;
}
