/**
 * A plan drawn with characters: how loud and how long, day by day.
 *
 * @module
 */
import type { Plan } from '../plan/plan.js';
import { secondsOfSound } from '../plan/layout.js';
import { signedDb } from '../plan/plan-words.js';

/** Bars for minutes, from little to much. */
const BARS = '▁▂▃▄▅▆▇█';

const PRACTICE = '●';

/** Characters left of the axis. */
const MARGIN = 7;

/**
 * Levels over days, and minutes of sound below them.
 *
 * @param columns - Width of the terminal in characters; days are joined when they do not fit.
 */
export function planChart(
  { steps, sessions, days, startDate, scanDate }: Plan,
  columns: number,
): string {
  const daysPerColumn = Math.ceil(days / Math.max(columns - MARGIN, 20));
  const count = Math.ceil(days / daysPerColumn);
  const byNumber = new Map(steps.map(step => [step.number, step]));
  const levels = [...new Set(steps.map(({ levelDb }) => levelDb))].sort((a, b) => b - a);
  const loudest: (number | null)[] = Array.from({ length: count }, () => null);
  const minutes = new Float64Array(count);
  for (const { day, step } of sessions) {
    const column = Math.floor((day - 1) / daysPerColumn);
    const { levelDb } = byNumber.get(step)!;
    loudest[column] = Math.max(loudest[column] ?? -Infinity, levelDb);
    minutes[column]! += secondsOfSound(byNumber.get(step)!) / 60 / daysPerColumn;
  }
  const most = Math.max(...minutes);
  const line = (label: string, marks: readonly string[]): string =>
    `${label.padStart(MARGIN - 2)} │${marks.join('').trimEnd()}`;
  const bar = (value: number): string =>
    value === 0 ? ' ' : BARS[Math.min(Math.floor((value / most) * BARS.length), BARS.length - 1)]!;
  return [
    'dB re talk',
    ...levels.map(level =>
      line(
        signedDb(level),
        loudest.map(value => (value === level ? PRACTICE : ' ')),
      ),
    ),
    `${' '.repeat(MARGIN - 1)}└${'─'.repeat(count)}`,
    line('min', Array.from(minutes, bar)),
    `${' '.repeat(MARGIN)}${ends(startDate ?? 'day 1', scanDate ?? `day ${days}`, count)}`,
    `${' '.repeat(MARGIN)}${daysPerColumn === 1 ? 'each column a day' : `each column ${daysPerColumn} days`}; most sound on a day: ${most.toFixed(1)} min`,
  ].join('\n');
}

/** First and last day below the ends of the axis. */
const ends = (first: string, last: string, width: number): string =>
  `${first}${' '.repeat(Math.max(width - first.length - last.length, 2))}${last}`;
