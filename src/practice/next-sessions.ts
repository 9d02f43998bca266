/**
 * The days of a plan that goes on: from the step that a log led to, to the scan.
 *
 * @module
 */
import type { CalendarRules } from '../plan/calendar.js';
import { MOST_DAYS, planSessions } from '../plan/calendar.js';
import { addDays, daysBetween } from '../plan/dates.js';
import { secondsOfSound } from '../plan/layout.js';
import type { LogEntry } from './log-entry.js';
import type { Session, Step } from '../plan/plan.js';
import type { Replay } from './replay-log.js';

export interface NextSessionsInput {
  readonly replay: Replay;
  readonly entries: readonly LogEntry[];
  readonly rules: CalendarRules;
  /** First day of the plan, `YYYY-MM-DD`; null when it only counts days. */
  readonly startDate: string | null;
  /** `YYYY-MM-DD`, or null when it is not fixed. */
  readonly scanDate: string | null;
  /** Day of the decision: the plan goes on the day after it. */
  readonly asOf: string;
}

export interface NextSessions {
  /** Empty when practice stops, and when no day is left. */
  readonly sessions: readonly Session[];
  /** First day by which days are counted; null when the plan has no dates. */
  readonly startDate: string | null;
  /** Length of the plan from that day on, up to the day before the scan. */
  readonly days: number;
}

/** The sessions that come next. */
export function nextSessions(input: NextSessionsInput): NextSessions {
  const { replay, entries, rules, scanDate, asOf } = input;
  const { steps } = replay;
  const minutes = steps.map(step => secondsOfSound(step) / 60);
  // Without dates, days are counted from the day after the decision.
  const first = input.startDate ?? addDays(asOf, 1);
  const base = firstDay(first, [asOf, ...entries.map(({ date }) => date)]);
  const dayOf = (date: string): number => daysBetween(base, date) + 1;
  const from = Math.max(dayOf(asOf) + 1, 1);
  const place = steps.findIndex(({ number }) => number === replay.nextStep) + 1;
  const isNew = !replay.isHeard && steps[place - 1]?.change !== 'softer';
  const start = {
    day: from,
    step: isNew ? place - 1 : place,
    sessionsBeforeNew: isNew ? 0 : replay.sessionsToGo,
    lastNewDay: lastNewDay(entries, dayOf),
    minutes: minutesHeard(entries, steps, dayOf),
  };
  const plan = (days: number): NextSessions => ({
    sessions:
      replay.nextStep === null || days < from
        ? []
        : planSessions(minutes, days, rules, start).map(({ day, step }) => ({
            day,
            date: input.startDate === null && scanDate === null ? null : addDays(base, day - 1),
            step: steps[step - 1]!.number,
          })),
    startDate: input.startDate === null && scanDate === null ? null : base,
    days,
  });
  if (scanDate !== null) return plan(Math.min(Math.max(dayOf(scanDate) - 1, 0), MOST_DAYS));
  return untilTheTop(plan, from, steps.at(-1)!.number);
}

/** Days a family may be early: more is a date that was written wrongly. */
const MOST_DAYS_EARLY = 60;

/** The plan's first day, or an earlier one on which the family had begun already. */
function firstDay(planned: string, heard: readonly string[]): string {
  const earliest = addDays(planned, -MOST_DAYS_EARLY);
  return heard.reduce((day, date) => (date < day && date >= earliest ? date : day), planned);
}

/** As many days as the top needs. */
function untilTheTop(
  plan: (days: number) => NextSessions,
  from: number,
  top: number,
): NextSessions {
  for (let days = from; days <= MOST_DAYS; days++) {
    const next = plan(days);
    if (next.sessions.at(-1)?.step === top) return next;
  }
  return plan(MOST_DAYS);
}

/** Day on which the highest step was heard first. */
function lastNewDay(entries: readonly LogEntry[], dayOf: (date: string) => number): number {
  let highest = 0;
  let day = -MOST_DAYS;
  for (const { step, date } of entries) {
    if (step <= highest) continue;
    highest = step;
    day = dayOf(date);
  }
  return day;
}

/** Minutes of sound by day, as if each session had been heard to its end. */
function minutesHeard(
  entries: readonly LogEntry[],
  steps: readonly Step[],
  dayOf: (date: string) => number,
): ReadonlyMap<number, number> {
  const minutes = new Map<number, number>();
  for (const { step, date } of entries) {
    const heard = steps.find(({ number }) => number === step);
    if (heard === undefined) continue;
    const day = dayOf(date);
    minutes.set(day, (minutes.get(day) ?? 0) + secondsOfSound(heard) / 60);
  }
  return minutes;
}
