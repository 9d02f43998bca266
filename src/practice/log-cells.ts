/**
 * Cells of a family's log: what each says, and what was wrong with it.
 *
 * Nothing is guessed: what is not plainly one value is null, and makes its session doubtful. What can
 * be meant in one way only (capital letters, a time with seconds) is understood, and noted.
 *
 * @module
 */
import { quote } from '../protocol/quote.js';
import { isDate } from '../plan/dates.js';
import { STOPPERS, type Stopper } from './log-entry.js';

/** Something about a cell that is worth telling. */
export interface Remark {
  /** What is in it. A sentence without its full stop. */
  readonly found: string;
  /** What was made of it. A sentence without its full stop. */
  readonly used: string;
  /** Whether a part of it could not be read. */
  readonly isDoubtful: boolean;
}

export interface Reading<T> {
  readonly value: T;
  /** Null when the cell is as it should be. */
  readonly remark: Remark | null;
}

/** What becomes of a session with a cell that cannot be read. */
const DOUBTFUL = 'not known; the session cannot count as comfortable';

/** What becomes of a row whose day or step cannot be read. */
export const NOT_USED = 'row not used';

export const HIGHEST_RATING = 10;

/** `HH:MM`, perhaps with seconds, perhaps of a clock with 12 hours. */
const TIME = /^(\d{1,2}):([0-5]\d)(?::[0-5]\d)?(?:\s*([ap])\.?\s?m\.?)?$/i;

const NOTHING_NOTED = { value: null, remark: null };

export function readYesNo(raw: string): Reading<boolean | null> {
  const text = withoutGuard(raw);
  if (text === '') return NOTHING_NOTED;
  switch (text.toLowerCase()) {
    case 'yes':
    case 'y':
    case 'true':
    case '1':
      return understood(raw, true, 'yes');
    case 'no':
    case 'n':
    case 'false':
    case '0':
      return understood(raw, false, 'no');
    default:
      return unread(raw, 'neither yes nor no');
  }
}

/** A whole number from 0 to 10. */
export function readRating(raw: string): Reading<number | null> {
  const text = numberText(raw);
  if (text === '') return NOTHING_NOTED;
  const rating = /^\d{1,3}(?:[.,]0+)?$/.test(text) ? parseInt(text, 10) : NaN;
  if (!(rating <= HIGHEST_RATING)) {
    return unread(raw, `no whole number from 0 to ${HIGHEST_RATING}`);
  }
  return understood(raw, rating, String(rating));
}

export function readTime(raw: string): Reading<string | null> {
  const text = withoutGuard(raw);
  if (text === '') return NOTHING_NOTED;
  const time = timeOf(text);
  return time === undefined ? unread(raw, 'no time as HH:MM') : understood(raw, time, time);
}

export function readStopper(raw: string): Reading<Stopper | null> {
  const text = withoutGuard(raw);
  if (text === '') return NOTHING_NOTED;
  const stopper = STOPPERS.find(word => word === text.toLowerCase());
  return stopper === undefined
    ? unread(raw, `none of ${STOPPERS.join(', ')}`)
    : understood(raw, stopper, stopper);
}

/**
 * The day of a session. Other ways to write a day are not read: 03/04/2027 is two different ones.
 *
 * @param today - Last day that can be one; `YYYY-MM-DD`.
 */
export function readDay(raw: string, today: string): Reading<string | null> {
  const day = withoutGuard(raw);
  if (day === '') return notUsed('no date', 'write the day as YYYY-MM-DD');
  if (!isDate(day)) {
    return notUsed(`${quote(raw)}, which is no day as YYYY-MM-DD`, `write it like ${today}`);
  }
  if (day > today) {
    return notUsed(`${quote(raw)}, which is after ${today}, today`, 'correct the date');
  }
  return understood(raw, day, day);
}

/** A step of the kit. @param steps - Numbers of all steps. */
export function readStep(raw: string, steps: ReadonlySet<number>): Reading<number | null> {
  const text = numberText(raw);
  const step = /^\d{1,4}(?:[.,]\d{1,2})?$/.test(text) ? Number(text.replace(',', '.')) : NaN;
  if (steps.has(step)) return understood(raw, step, String(step));
  return notUsed(
    text === '' ? 'no step' : `${quote(raw)}, which is no step of this kit`,
    `the steps are ${stepList([...steps])}`,
  );
}

/** A value that the cell says in this or another way. */
export function understood<T>(raw: string, value: T, canonical: string): Reading<T> {
  if (raw.trim() === canonical) return { value, remark: null };
  return {
    value,
    remark: { found: quote(raw), used: `read as ${canonical}`, isDoubtful: false },
  };
}

function unread(raw: string, why: string): Reading<null> {
  return {
    value: null,
    remark: { found: `${quote(raw)}, which is ${why}`, used: DOUBTFUL, isDoubtful: true },
  };
}

function notUsed(found: string, advice: string): Reading<null> {
  return { value: null, remark: { found, used: `${NOT_USED}; ${advice}`, isDoubtful: true } };
}

/**
 * The cell without what spreadsheets are kept from running formulas with: an apostrophe, or one of
 * `= + - @` (and the quotation marks of `="text"`). What is nothing else stays.
 */
export function withoutGuard(raw: string): string {
  return unguarded(raw, /^['’]?\s*[=+\-@]?\s*/);
}

/** {@link withoutGuard} for numbers, which a minus belongs to. */
const numberText = (raw: string): string => unguarded(raw, /^['’]?\s*[=+@]?\s*/);

function unguarded(raw: string, guard: RegExp): string {
  const text = raw.trim();
  // As most cells are.
  if (/^[\p{L}\p{N}]/u.test(text) || text === '') return text;
  const rest = text.replace(guard, '').replace(/^"(.*)"$/, '$1');
  return rest === '' ? text : rest;
}

function timeOf(text: string): string | undefined {
  const match = TIME.exec(text);
  if (match === null) return undefined;
  const hour = Number(match[1]);
  const half = match[3]?.toLowerCase();
  if (half !== undefined && (hour < 1 || hour > 12)) return undefined;
  const hour24 = half === undefined ? hour : (hour % 12) + (half === 'p' ? 12 : 0);
  return hour24 > 23 ? undefined : `${String(hour24).padStart(2, '0')}:${match[2]!}`;
}

/** Numbers as runs: `1 to 6, 6.5, 7 to 14`. */
function stepList(steps: readonly number[]): string {
  const sorted = steps.toSorted((a, b) => a - b);
  const runs: [first: number, last: number][] = [];
  for (const step of sorted) {
    const run = runs.at(-1);
    if (run !== undefined && step === run[1] + 1) run[1] = step;
    else runs.push([step, step]);
  }
  return runs
    .map(([first, last]) => {
      if (first === last) return String(first);
      return `${first}${last === first + 1 ? ', ' : ' to '}${last}`;
    })
    .join(', ');
}
