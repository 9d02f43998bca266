/**
 * Minutes of sound as a gate: whatever a plan was made from, a day and a week hold no more.
 *
 * @module
 */
import type { Problem } from '../errors.js';
import { MOST_MINUTES } from '../levels/limits.js';

/** Most sound of one day and of any seven days in a row, silence and cues not counted, in minutes. */
export interface MostMinutes {
  readonly perDay: number;
  readonly perWeek: number;
}

/**
 * The fullest day and the fullest week of a plan.
 *
 * @param secondsOf - Sound of a step, by its number.
 */
export function mostMinutes(
  sessions: readonly { readonly day: number; readonly step: number }[],
  secondsOf: (step: number) => number,
): MostMinutes {
  const within = (first: number, days: number): number =>
    sessions
      .filter(({ day }) => day >= first && day < first + days)
      .reduce((sum, { step }) => sum + secondsOf(step) / 60, 0);
  const fullest = (days: number): number =>
    sessions.reduce((most, { day }) => Math.max(most, within(day, days)), 0);
  return { perDay: fullest(1), perWeek: fullest(7) };
}

/** What passes the gate; empty when nothing does. */
export function tooManyMinutes(minutes: MostMinutes, where: string): readonly Problem[] {
  return (['perDay', 'perWeek'] as const).flatMap(key => {
    // Not `>`: NaN must be refused too.
    if (minutes[key] <= MOST_MINUTES[key] + ROUNDING_MIN) return [];
    const period = key === 'perDay' ? 'day' : 'week';
    return [
      {
        where,
        found: `${Number(minutes[key].toFixed(1))} minutes of sound in one ${period}`,
        allowed: `up to ${MOST_MINUTES[key]} minutes a ${period}`,
        fix: 'Have fewer or shorter sessions. This limit cannot be switched off.',
      },
    ];
  });
}

/** Sums of seconds are off by their binary rounding, in minutes. */
const ROUNDING_MIN = 1e-6;
