/**
 * Rows of a log that tell of the same session: a log sent twice, or corrected in between.
 *
 * @module
 */
import { type LogEntry, RED_SIGNS } from './log-entry.js';
import { hasRedSign } from './log-signs.js';
import type { LogProblem } from './log-table.js';

/**
 * One entry a session. Sessions are the same when date, time and step are; of two that differ in the
 * rest the harder one stays, as doubtful: one of the rows must be wrong.
 *
 * @param redMark - Rating from which on practice stops.
 */
export function oneEntryASession(
  entries: readonly LogEntry[],
  redMark: number,
): { readonly entries: readonly LogEntry[]; readonly problems: readonly LogProblem[] } {
  const kept = new Map<string, LogEntry>();
  const contested = new Set<string>();
  const problems: LogProblem[] = [];
  for (const entry of entries) {
    const key = `${entry.date} ${entry.time ?? ''} ${entry.step}`;
    const other = kept.get(key);
    if (other === undefined) {
      kept.set(key, entry);
    } else if (contentOf(entry) === contentOf(other)) {
      const found = `the same as line ${other.line}`;
      problems.push({ line: entry.line, column: null, found, used: `line ${other.line}, once` });
    } else {
      const harder = compareHardness(entry, other, redMark) > 0 ? entry : other;
      kept.set(key, harder);
      contested.add(key);
      problems.push(...bothNoted(other, entry, harder));
    }
  }
  return {
    entries: Array.from(kept, ([key, entry]) =>
      contested.has(key) ? { ...entry, isDoubtful: true } : entry,
    ),
    problems,
  };
}

function bothNoted(first: LogEntry, second: LogEntry, harder: LogEntry): LogProblem[] {
  const noted = (line: number, other: number): LogProblem => ({
    line,
    column: null,
    found: `the same session as line ${other}, told in another way`,
    used: `line ${harder.line}, which is harder; the session cannot count as comfortable`,
  });
  return [noted(first.line, second.line), noted(second.line, first.line)];
}

/** What a row says, whichever line it is on. */
const contentOf = (entry: LogEntry): string => JSON.stringify({ ...entry, line: 0 });

/** Above 0 when `a` is the harder one. The first difference counts. */
function compareHardness(a: LogEntry, b: LogEntry, redMark: number): number {
  const [left, right] = [hardness(a, redMark), hardness(b, redMark)];
  const place = left.findIndex((value, i) => value !== right[i]);
  return place === -1 ? 0 : left[place]! - right[place]!;
}

function hardness(entry: LogEntry, redMark: number): readonly number[] {
  const rating = Math.max(entry.childRating ?? -1, entry.parentRating ?? -1);
  return [
    Number(hasRedSign(entry.signs) || rating >= redMark),
    entry.signs.filter(sign => RED_SIGNS.some(red => red === sign)).length,
    entry.signs.length,
    rating,
    Number(entry.stoppedBy === 'child'),
    // Not known is between no and yes.
    entry.completed === null ? 1 : entry.completed ? 0 : 2,
  ];
}
