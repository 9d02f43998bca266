/**
 * Reading what a family noted: `log.csv`, from the page, from a spreadsheet, or typed in from paper.
 *
 * Row by row it is said what was wrong and what was made of it. Nothing is ever guessed into
 * "comfortable": what cannot be read is not known, and its session is doubtful.
 *
 * @module
 */
import { UserError } from '../errors.js';
import { quote } from '../protocol/quote.js';
import type { LogEntry } from './log-entry.js';
import { isOfKit, readLogRow } from './log-row.js';
import { readSigns } from './log-signs.js';
import { bareCode, cellOf, type LogProblem, type LogTable, readLogTable } from './log-table.js';
import { oneEntryASession } from './same-session.js';

export type { LogProblem } from './log-table.js';

export interface LogReading {
  /** Sessions by date, time (not noted last) and line. */
  readonly entries: readonly LogEntry[];
  /** By line. */
  readonly problems: readonly LogProblem[];
  /**
   * Lines that hold a red sign or a red rating which stands in no entry: the row could not be used, or
   * the cell not be read. They stop practice too.
   */
  readonly redElsewhere: readonly number[];
}

export interface LogOptions {
  /** Code of the kit that the log is of. */
  readonly kit: string;
  /** Numbers of its steps. */
  readonly steps: readonly number[];
  /** Last day of which there can be a session; `YYYY-MM-DD`. */
  readonly today: string;
  /** Name for messages. */
  readonly file: string;
  /** Rating from which on practice stops. */
  readonly redMark?: number;
}

/** The one of the rules, where a study does not set its own. */
const RED_MARK = 8;

/** Most codes of other kits that are named. */
const MAX_CODES = 3;

/**
 * Reads a log.
 *
 * @param text - RFC 4180 with commas, semicolons or tabs; columns in any order.
 * @throws {UserError} `BAD_LOG`: required columns are missing, or no row is of this kit.
 */
export function readLog(text: string, options: LogOptions): LogReading {
  const table = readLogTable(text, bareCode(options.kit), options.file);
  if (!table.rows.some(row => isOfKit(row, table, options.kit))) throw noRows(table, options);
  const { redMark = RED_MARK } = options;
  const expected = {
    ...options,
    redMark,
    steps: new Set(options.steps),
    // Spelling takes time, and the same words come again and again.
    readSigns: remembered(readSigns),
  };
  const rows = table.rows.map(row => readLogRow(row, table, expected));
  const readable = rows.flatMap(({ entry }) => (entry === null ? [] : [entry]));
  const sessions = oneEntryASession(readable, redMark);
  return {
    entries: sessions.entries.toSorted(compareEntries),
    problems: [
      ...table.problems,
      ...rows.flatMap(({ problems }) => problems),
      ...outOfOrder(readable),
      ...sessions.problems,
    ].toSorted((a, b) => a.line - b.line),
    redElsewhere: table.rows.flatMap(({ line }, i) => (rows[i]!.isRedElsewhere ? [line] : [])),
  };
}

/** A function that works out each answer once. */
function remembered<T>(read: (raw: string) => T): (raw: string) => T {
  const known = new Map<string, T>();
  return raw => {
    const before = known.get(raw);
    if (before !== undefined) return before;
    const answer = read(raw);
    known.set(raw, answer);
    return answer;
  };
}

/** By date, time (not noted last) and line. */
export function compareEntries(a: LogEntry, b: LogEntry): number {
  const when = ({ date, time }: LogEntry): string => `${date} ${time ?? '99'}`;
  const [left, right] = [when(a), when(b)];
  if (left !== right) return left < right ? -1 : 1;
  return a.line - b.line;
}

/** Told once, at the first row that is out of order. */
function outOfOrder(entries: readonly LogEntry[]): LogProblem[] {
  const early = entries.filter((entry, i) => i > 0 && entry.date < entries[i - 1]!.date);
  const [first] = early;
  if (first === undefined) return [];
  const more = early.length > 1 ? `; ${early.length - 1} more like it` : '';
  return [
    {
      line: first.line,
      column: 'date',
      found: `${first.date}, which is before the row above it${more}`,
      used: 'all sessions in the order of their dates',
    },
  ];
}

function noRows(table: LogTable, { kit, file }: LogOptions): UserError {
  const codes = [...new Set(table.rows.map(row => cellOf(row, table, 'kit').trim()))];
  const shown = codes.slice(0, MAX_CODES).map(code => (code === '' ? 'no kit' : quote(code)));
  const more = codes.length > MAX_CODES ? ` and ${codes.length - MAX_CODES} more` : '';
  return new UserError('BAD_LOG', `${file} has no session of kit ${kit}.`, [
    {
      where: `${file} kit`,
      found: table.rows.length === 0 ? 'no rows' : `rows of ${shown.join(', ')}${more}`,
      allowed: `rows whose column kit is ${kit}`,
      fix: 'Check that the log and the kit are of the same family.',
    },
  ]);
}
