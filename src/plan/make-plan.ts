/**
 * From a protocol, an age and the days that are left to a plan.
 *
 * @module
 */
import { UserError } from '../errors.js';
import type { PlanConstants } from '../protocol/plan-constants.js';
import type { AgeBand } from '../protocol/plan-settings.js';
import { type CalendarRules, daysNeeded, planSessions } from './calendar.js';
import { addDays, daysBetween } from './dates.js';
import { buildLadder, type LadderInput } from './ladder.js';
import { secondsOfSound } from './layout.js';
import type { Plan, Step } from './plan.js';

export interface PlanInput extends LadderInput {
  /** `YYYY-MM-DD`. */
  readonly today: string;
  /** Day of the scan, `YYYY-MM-DD`; without it the plan counts days and has no dates. */
  readonly scanDate?: string | undefined;
  /** First day on which the family may practise. By default as late as the plan allows. */
  readonly startDate?: string | undefined;
}

/**
 * Makes a plan.
 *
 * @throws {UserError} `BAD_USAGE`: the scan is so near that not even the first step has its place.
 */
export function makePlan(input: PlanInput): Plan {
  const { preset, constants, band } = input.preset;
  const ladder = buildLadder(input);
  const rules = calendarRules(constants, band);
  const minutes = ladder.steps.map(step => secondsOfSound(step) / 60);
  const needed = daysNeeded(minutes, rules);
  const dates = chooseDates(input, needed, needed * rules.daysPerStep);
  const sessions = planSessions(minutes, dates.days, rules);
  if (sessions.length === 0) throw tooNear(input, dates.days, rules);
  const steps = ladder.steps.slice(0, sessions.at(-1)!.step);
  const droppedSteps = ladder.steps.slice(steps.length);
  const { startDate } = dates;
  return {
    ageBand: band.name,
    preset,
    days: dates.days,
    startDate,
    scanDate: input.scanDate ?? null,
    steps,
    sessions: sessions.map(({ day, step }) => ({
      day,
      date: startDate === null ? null : addDays(startDate, day - 1),
      step,
    })),
    droppedSteps,
    notes: [
      ...ladder.notes,
      ...dates.notes,
      ...(droppedSteps.length > 0 ? [droppedNote(steps, ladder.steps, dates.days, needed)] : []),
    ],
  };
}

/** The calendar's rules for a family, from the constants of its plan and the band of its age. */
export const calendarRules = (
  constants: Omit<CalendarRules, 'sessionsPerDay'>,
  { sessionsPerDay }: Pick<CalendarRules, 'sessionsPerDay'>,
): CalendarRules => ({ ...constants, sessionsPerDay });

/** The band of an age in years. @throws {RangeError} Negative, or not a number. */
export function ageBandOf(ageYears: number, constants: PlanConstants): AgeBand {
  if (!(ageYears >= 0)) throw new RangeError(`ageYears must be at least 0, got ${ageYears}`);
  // Below the youngest band of the constants are the children who are scanned asleep.
  return constants.bands.findLast(({ fromYears }) => ageYears >= fromYears)?.name ?? '0-1';
}

interface Dates {
  readonly days: number;
  readonly startDate: string | null;
  readonly notes: readonly string[];
}

/** From when to when: as many days as the plan needs; more only when the family may start earlier. */
function chooseDates(input: PlanInput, needed: number, most: number): Dates {
  const { scanDate, startDate, today } = input;
  if (scanDate === undefined) return { days: needed, startDate: startDate ?? null, notes: [] };
  const tomorrow = addDays(today, 1);
  const earliest = startDate ?? addDays(scanDate, -needed);
  const first = earliest < tomorrow && startDate === undefined ? tomorrow : earliest;
  const days = Math.max(daysBetween(first, scanDate), 0);
  if (days <= most) return { days, startDate: first, notes: [] };
  const later = addDays(scanDate, -most);
  const note = `The plan starts on ${later}, not on ${first}: it takes at most ${most} days.`;
  return { days: most, startDate: later, notes: [note] };
}

function tooNear(input: PlanInput, days: number, rules: CalendarRules): UserError {
  const fewest = rules.quietDays + 1;
  return new UserError('BAD_USAGE', 'The scan is too near for practice at home.', [
    {
      where: input.startDate === undefined ? '--scan-date' : '--scan-date and --start-date',
      found: `${days} days of practice before ${input.scanDate ?? 'the scan'}`,
      allowed: `at least ${fewest}, since nothing new is played on the last ${rules.quietDays}`,
      fix: 'Let the child hear the sounds at the study itself, or move the scan.',
    },
  ]);
}

function droppedNote(
  steps: readonly Step[],
  all: readonly Step[],
  days: number,
  needed: number,
): string {
  const level = steps.at(-1)!.levelDb;
  const full = all.at(-1)!.levelDb;
  const reach =
    level < full
      ? ` Its loudest sounds are ${full - level} dB softer than those of the full plan.`
      : '';
  return `${days} days allow ${steps.length} of the ${all.length} steps, which need ${needed} days. The last ${all.length - steps.length} are left out; the pace stays the same.${reach} That is fine.`;
}
