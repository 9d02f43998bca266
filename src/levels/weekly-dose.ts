/**
 * Sound dose in a week against the WHO-ITU allowance.
 *
 * Source: WHO-ITU global standard on safe listening, ITU-T H.870 (2018, 2022): 80 dBA for 40 hours a
 * week for adults, 75 dBA for children, equal energy.
 *
 * @module
 */
import type { Listener } from './limits.js';

/** Level in dBA that may be heard for {@link ALLOWED_HOURS} in a week. */
const ALLOWED_DBA: Readonly<Record<Listener, number>> = { child: 75, adult: 80 };

const ALLOWED_HOURS = 40;

/** A stretch of sound. */
export interface Exposure {
  readonly levelDba: number;
  readonly durationSeconds: number;
}

/** How long a level may be heard in a week, in s. */
export const allowedWeeklySeconds = (levelDba: number, listener: Listener): number =>
  ALLOWED_HOURS * 3600 * 10 ** ((ALLOWED_DBA[listener] - levelDba) / 10);

/** Share of the week's allowance that these use together, in percent. */
export function weeklyDosePercent(exposures: readonly Exposure[], listener: Listener): number {
  return exposures.reduce(
    (sum, { levelDba, durationSeconds }) =>
      sum + (100 * durationSeconds) / allowedWeeklySeconds(levelDba, listener),
    0,
  );
}
