/**
 * Published limits on sound dose, each with its own rule for trading level against time.
 *
 * The WHO-ITU allowance is the one that softknock plans by: it is made for listening and knows
 * children. The others protect grown workers and stand here for comparison. Levels below a rule's
 * own threshold count too: nothing is dropped from a dose.
 *
 * Sources: ITU-T H.870 (2018, 2022); NIOSH publication 98-126, 1.1.1 and 1.1.2; OSHA 29 CFR 1910.95,
 * table G-16 and appendix A; directive 2003/10/EC, article 3.
 *
 * @module
 */
import { requireInRange } from '../signal/require.js';
import type { Listener } from './limits.js';
import { allowedWeeklySeconds, type Exposure } from './weekly-dose.js';

/** A limit as a rule: how long a level may last. */
export interface DoseLimit {
  readonly name: string;
  readonly per: 'day' | 'week';
  readonly source: string;
  /** In s; a dose of 100 % when a level in dBA lasts so long. */
  readonly allowedSeconds: (levelDba: number) => number;
}

/** Levels above are a mistake: in air a sound is no sound any more beyond 194 dB. */
export const HIGHEST_LEVEL_DBA = 200;

const HOUR_SECONDS = 3600;

/** The WHO-ITU allowance of a listener. */
export const weeklyAllowance = (listener: Listener): DoseLimit => ({
  name: listener === 'child' ? 'WHO-ITU, children' : 'WHO-ITU, adults',
  per: 'week',
  source: 'ITU-T H.870 (2022), WHO-ITU global standard for safe listening devices',
  allowedSeconds: levelDba => allowedWeeklySeconds(levelDba, listener),
});

/** 85 dBA for 8 hours; half the time for each 3 dB more. */
export const NIOSH: DoseLimit = {
  name: 'NIOSH recommended limit',
  per: 'day',
  source: 'NIOSH publication 98-126 (1998)',
  allowedSeconds: levelDba => (8 * HOUR_SECONDS) / 2 ** ((levelDba - 85) / 3),
};

/** 90 dBA for 8 hours; half the time for each 5 dB more. */
export const OSHA: DoseLimit = {
  name: 'OSHA permissible limit',
  per: 'day',
  source: 'OSHA 29 CFR 1910.95, formula of table G-16a (above 115 dBA only for the dose)',
  allowedSeconds: levelDba => (8 * HOUR_SECONDS) / 2 ** ((levelDba - 90) / 5),
};

/** The directive's daily values, LEX,8h in dBA: equal energy. */
const EU_DAILY = [
  ['EU lower action value', 80],
  ['EU upper action value', 85],
  ['EU limit value', 87],
] as const;

/** The directive's three steps; the third is at the ear, under protection. */
export const EU_DAILY_LIMITS: readonly DoseLimit[] = EU_DAILY.map(([name, dayLevelDba]) => ({
  name,
  per: 'day',
  source: 'Directive 2003/10/EC, article 3',
  allowedSeconds: levelDba => 8 * HOUR_SECONDS * 10 ** ((dayLevelDba - levelDba) / 10),
}));

/** All limits that are reported for a listener, the one that counts first. */
export const doseLimits = (listener: Listener): readonly DoseLimit[] => [
  weeklyAllowance(listener),
  NIOSH,
  OSHA,
  ...EU_DAILY_LIMITS,
];

/**
 * Share of a limit that stretches of sound use together, in percent; additive.
 *
 * @param exposures - All that is heard in the limit's day or week.
 * @throws {RangeError} A duration is negative or not finite, or a level is NaN or above 200 dBA.
 */
export function dosePercent(limit: DoseLimit, exposures: readonly Exposure[]): number {
  return exposures.reduce((sum, { levelDba, durationSeconds }) => {
    requireInRange(durationSeconds, 'durationSeconds', 0, Number.MAX_VALUE, 's');
    requireInRange(levelDba, 'levelDba', -Infinity, HIGHEST_LEVEL_DBA, 'dBA');
    return sum + (100 * durationSeconds) / limit.allowedSeconds(levelDba);
  }, 0);
}

/**
 * Time-weighted average in dBA of a daily dose, as NIOSH and OSHA define it: the level that gives
 * the same dose in 8 hours.
 */
export const timeWeightedAverage = {
  niosh: (percent: number): number => 10 * Math.log10(percent / 100) + 85,
  osha: (percent: number): number => 16.61 * Math.log10(percent / 100) + 90,
} as const;
