/**
 * What `softknock exposure` prints: JSON or text.
 *
 * @module
 */
import { dosePercent, doseLimits, type DoseLimit } from '../levels/dose-limits.js';
import type { Listener } from '../levels/limits.js';
import { PEAK_LIMITS } from '../levels/peak-limits.js';
import { exposurePa2h, levelOfExposure } from '../levels/sound-exposure.js';
import type { Exposure } from '../levels/weekly-dose.js';
import { formatTable } from './table.js';

/** What is heard in one day or one week, and by whom. */
export interface ExposureQuestion {
  readonly parts: readonly Exposure[];
  /** How far all levels may be off, in dB. */
  readonly uncertaintyDb: number;
  readonly per: 'day' | 'week';
  readonly listener: Listener;
  readonly peakDbc?: number;
}

interface LimitAnswer extends DoseLimit {
  readonly percent: { readonly low: number; readonly expected: number; readonly high: number };
  readonly allowedMinutes: number;
}

interface Answer {
  readonly levelDba: number;
  readonly minutes: number;
  readonly limits: readonly [LimitAnswer, ...LimitAnswer[]];
}

const DAYS_PER_WEEK = 7;

/** Minutes in a period. */
const MINUTES_PER = { day: 24 * 60, week: DAYS_PER_WEEK * 24 * 60 } as const;

/** Digits of doses and times in JSON. */
const DIGITS = 6;

export function exposureJson(question: ExposureQuestion): string {
  const { per, listener, uncertaintyDb, peakDbc } = question;
  const { levelDba, minutes, limits } = answer(question);
  const [weekly] = limits;
  const document = {
    levelDba: rounded(levelDba),
    minutes: rounded(minutes),
    per,
    listener,
    weeklyDosePercent: rounded(weekly.percent.expected),
    ...(uncertaintyDb > 0 && {
      uncertaintyDb,
      weeklyDosePercentRange: {
        low: rounded(weekly.percent.low),
        expected: rounded(weekly.percent.expected),
        high: rounded(weekly.percent.high),
      },
    }),
    limits: limits.map(limit => ({
      name: limit.name,
      dosePercent: rounded(limit.percent.expected),
      allowedMinutes: rounded(limit.allowedMinutes),
      per: limit.per,
      source: limit.source,
    })),
    ...(peakDbc !== undefined && {
      peakDbc: rounded(peakDbc),
      peakLimits: PEAK_LIMITS.map(limit => ({
        name: limit.name,
        limitDbc: limit.peakDbc,
        exceeded: peakDbc + uncertaintyDb > limit.peakDbc,
        source: limit.source,
      })),
    }),
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

export function exposureText(question: ExposureQuestion): string {
  const { per, listener, uncertaintyDb, peakDbc } = question;
  const { levelDba, minutes, limits } = answer(question);
  const give = uncertaintyDb > 0 ? `, give or take ${uncertaintyDb} dB` : '';
  const range = ({ low, expected, high }: LimitAnswer['percent']): string =>
    uncertaintyDb > 0
      ? `${percent(expected)} (${percent(low)} to ${percent(high)})`
      : percent(expected);
  const table = formatTable(
    [
      { title: 'limit' },
      { title: 'used', right: true },
      { title: 'allowed', right: true },
      { title: 'source' },
    ],
    limits.map(limit => [limit.name, range(limit.percent), allowance(limit), limit.source]),
  );
  const heard =
    levelDba === -Infinity
      ? 'Silence'
      : `${levelDba.toFixed(1)} dBA${give} for ${duration(minutes)} per ${per}`;
  const over = limits[0].percent.high >= 100;
  return [
    `${heard}, listener: ${listener}\n\n${table}`,
    peakDbc === undefined ? '' : peakText(peakDbc, uncertaintyDb),
    over ? "\nThis can use up the week's allowance: make it softer or shorter.\n" : '',
  ].join('');
}

function peakText(peakDbc: number, uncertaintyDb: number): string {
  const table = formatTable(
    [
      { title: 'peak limit' },
      { title: 'dBC', right: true },
      { title: 'peak' },
      { title: 'source' },
    ],
    PEAK_LIMITS.map(limit => [
      limit.name,
      String(limit.peakDbc),
      peakDbc + uncertaintyDb > limit.peakDbc ? 'ABOVE' : 'below',
      limit.source,
    ]),
  );
  const give = uncertaintyDb > 0 ? ` (up to ${(peakDbc + uncertaintyDb).toFixed(0)})` : '';
  return `\nPeak: ${peakDbc.toFixed(0)} dBC${give}\n\n${table}`;
}

function answer({ parts, uncertaintyDb, per, listener }: ExposureQuestion): Answer {
  const durationSeconds = parts.reduce((sum, part) => sum + part.durationSeconds, 0);
  const pa2h = parts.reduce(
    (sum, part) => sum + exposurePa2h(part.levelDba, part.durationSeconds),
    0,
  );
  // A single level is printed as it was given.
  const levelDba = parts.length === 1 ? parts[0]!.levelDba : levelOfExposure(pa2h, durationSeconds);
  const shifted = (limit: DoseLimit, db: number): number => {
    const heard = parts.map(part => ({
      levelDba: part.levelDba + db,
      durationSeconds: part.durationSeconds * periods(per, limit.per),
    }));
    return dosePercent(limit, heard);
  };
  const limits = doseLimits(listener).map(limit => {
    const expected = shifted(limit, 0);
    return {
      ...limit,
      percent: {
        low: shifted(limit, -uncertaintyDb),
        expected,
        high: shifted(limit, uncertaintyDb),
      },
      // Of this mixture of levels, not of one level of the same energy: that counts so for some limits only.
      allowedMinutes:
        parts.length === 1
          ? limit.allowedSeconds(levelDba) / 60
          : (100 * durationSeconds * periods(per, limit.per)) / expected / 60,
    };
  });
  return {
    levelDba,
    minutes: durationSeconds / 60,
    limits: limits as [LimitAnswer, ...LimitAnswer[]],
  };
}

/** How many of what is asked about are in one period of a limit. */
function periods(asked: 'day' | 'week', limit: 'day' | 'week'): number {
  if (asked === limit) return 1;
  return asked === 'day' ? DAYS_PER_WEEK : 1 / DAYS_PER_WEEK;
}

/** Finite numbers to {@link DIGITS} digits; null for silence and for "any time". */
const rounded = (value: number): number | null =>
  Number.isFinite(value) ? Number(value.toPrecision(DIGITS)) : null;

const percent = (value: number): string => {
  if (value >= 99.5) return `${value.toFixed(0)} %`;
  if (value > 0 && value < 0.01) return '< 0.01 %';
  return `${Number(value.toPrecision(2))} %`;
};

/** `40 h per week`; `all day` for what is longer than a day. */
function allowance({ allowedMinutes, per }: LimitAnswer): string {
  return allowedMinutes < MINUTES_PER[per]
    ? `${duration(allowedMinutes)} per ${per}`
    : `all ${per}`;
}

/** `12 s`, `7.5 min`, `40 h`. */
function duration(minutes: number): string {
  if (minutes < 1) return `${(60 * minutes).toPrecision(2)} s`;
  if (minutes < 120) return `${Number(minutes.toPrecision(3))} min`;
  return `${Number((minutes / 60).toPrecision(3))} h`;
}
