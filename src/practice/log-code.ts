/**
 * Reads the code that the page makes from its log, as a parent reads it out on the phone.
 *
 * The layout is described where the code is written, in `sounds-synth/page/log-code.js`. Every row
 * carries a check digit: each wrong character and each swap of two neighbours is found, and named by
 * its row, before anything is taken from the code.
 *
 * @module
 */
import { UserError, type Problem } from '../errors.js';
import type { Sign } from './log-entry.js';

/** One practice, as a code tells it: no time, no note, no name. */
export interface CodedPractice {
  /** `YYYY-MM-DD`. */
  readonly date: string;
  readonly half: 'before noon' | 'from noon';
  /** Halves are half steps. */
  readonly step: number;
  readonly ended: (typeof OUTCOMES)[number];
  /** Cut off by the device at least once. */
  readonly cut: boolean;
  readonly volumeChecked: boolean;
  /** 0 to 10, or null when there is none. */
  readonly childRating: number | null;
  readonly parentRating: number | null;
  readonly signs: readonly Sign[];
}

/** 0 to 30. */
const DIGITS = '0123456789ABCDEFGHJKMNPQRSTVWXY';

/** What people say or type for a digit that is not in the code. */
const MISTAKEN: Readonly<Record<string, string>> = { O: '0', I: '1', L: '1', U: 'V', Z: '2' };

/** Characters of a row, the check digit last. */
const ROW_LENGTH = 8;

/** Bits that the seven digits of a row hold. */
const ROW_BITS = 34;

const VERSION = 1;

/** Position is the value in the code. */
const OUTCOMES = ['completed', 'child', 'outside', 'declined', 'parent'] as const;

/** In the order of their bits: signs of distress, then what stops all practice. */
const SIGNS = [
  'ears',
  'cried',
  'left',
  'froze',
  'pain',
  'ringing',
  'upset_long',
  'panic',
  'seizure',
] as const satisfies readonly Sign[];

/** Day 0. */
const FIRST_DAY_MS = Date.UTC(2020, 0, 1);
const DAY_MS = 86_400_000;

const NO_MARK = 15;
const HIGHEST_MARK = 10;

/** Steps up from the practice before, by value. */
const RISES = [0, 1, -1] as const;

/**
 * The practices in a code.
 *
 * @param code - As typed: rows of eight characters; spaces, hyphens and small letters do not matter.
 * @param kit - Code of the kit that the log belongs to.
 * @throws {UserError} BAD_LOG, naming each row that was misread, or that the code is not whole.
 */
export function decodeLogCode(code: string, kit: string): readonly CodedPractice[] {
  const typed = Array.from(code.toUpperCase().replace(/[\s\-‐-―.,]/g, ''));
  const digits = typed.map(character => DIGITS.indexOf(MISTAKEN[character] ?? character));
  const problems = rowProblems(typed, digits, kit);
  if (problems.length > 0) {
    throw new UserError('BAD_LOG', 'The log code was not read correctly', problems);
  }
  const bits = new BitReader(rowsOf(digits).flatMap(row => bitsOf(row.slice(0, ROW_LENGTH - 1))));
  try {
    return readPractices(bits);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new UserError(
      'BAD_LOG',
      'The log code is not whole',
      [
        {
          where: 'code',
          found: error.message,
          allowed: 'all rows that the page shows, in order',
          fix: 'Ask for the rows again, from the first to the last.',
        },
      ],
      { cause: error },
    );
  }
}

function rowProblems(typed: readonly string[], digits: readonly number[], kit: string): Problem[] {
  const problem = (where: string, found: string, allowed: string): Problem => ({
    where,
    found,
    allowed,
    fix: 'Ask for this row again.',
  });
  const problems: Problem[] = [];
  const rows = rowsOf(digits);
  for (const [index, row] of rows.entries()) {
    const where = `row ${index + 1}`;
    const text = typed.slice(index * ROW_LENGTH, (index + 1) * ROW_LENGTH).join('');
    if (row.length < ROW_LENGTH) {
      problems.push(
        problem(where, `${row.length} characters (${text})`, `${ROW_LENGTH} characters`),
      );
    } else if (row.includes(-1)) {
      problems.push(problem(where, text, `characters of ${DIGITS}`));
    } else if (checkSum(kit, index, row) !== 0) {
      problems.push(
        problem(where, `${text}, which has a mistake`, `a row of kit ${kit}, in its place`),
      );
    }
  }
  if (rows.length === 0) problems.push(problem('code', 'nothing', 'at least one row'));
  return problems;
}

function rowsOf(digits: readonly number[]): readonly (readonly number[])[] {
  const count = Math.ceil(digits.length / ROW_LENGTH);
  return Array.from({ length: count }, (_, row) =>
    digits.slice(row * ROW_LENGTH, (row + 1) * ROW_LENGTH),
  );
}

/** 0 for a row without a mistake: weights are powers of 3 modulo 31. */
function checkSum(kit: string, row: number, digits: readonly number[]): number {
  let sum = row;
  for (const character of kit) sum = (sum * 3 + character.charCodeAt(0)) % DIGITS.length;
  for (const digit of digits) sum = (sum * 3 + digit) % DIGITS.length;
  return sum;
}

function bitsOf(digits: readonly number[]): number[] {
  const value = digits.reduce((sum, digit) => sum * DIGITS.length + digit, 0);
  return Array.from(
    { length: ROW_BITS },
    (_, place) => Math.floor(value / 2 ** (ROW_BITS - 1 - place)) % 2,
  );
}

function readPractices(bits: BitReader): CodedPractice[] {
  const version = bits.take(3);
  if (version !== VERSION) throw new RangeError(`version ${version} of the code`);
  const count = bits.take(6);
  let day = bits.take(14);
  let step = 0;
  return Array.from({ length: count }, (): CodedPractice => {
    const later = bits.take(2);
    day = later === 3 ? bits.take(14) : day + later;
    const half = bits.take(1) === 1 ? 'from noon' : 'before noon';
    const rise = RISES[bits.take(2)];
    step = rise === undefined ? bits.take(8) / 2 : step + rise;
    const ended = OUTCOMES[bits.take(3)];
    if (ended === undefined) throw new RangeError('an ending that this version does not know');
    return {
      date: new Date(FIRST_DAY_MS + day * DAY_MS).toISOString().slice(0, 10),
      half,
      step,
      ended,
      cut: bits.take(1) === 1,
      volumeChecked: bits.take(1) === 1,
      childRating: markOf(bits.take(4)),
      parentRating: markOf(bits.take(4)),
      signs: bits.take(1) === 1 ? SIGNS.filter(() => bits.take(1) === 1) : [],
    };
  });
}

function markOf(value: number): number | null {
  if (value === NO_MARK) return null;
  if (value > HIGHEST_MARK) throw new RangeError(`a mark of ${value}`);
  return value;
}

/** Takes whole numbers from a row of bits, most significant bit first. */
class BitReader {
  private at = 0;

  constructor(private readonly bits: readonly number[]) {}

  /** @throws {RangeError} There are not that many bits left. */
  take(width: number): number {
    if (this.at + width > this.bits.length) throw new RangeError('the code ends too early');
    let value = 0;
    for (let place = 0; place < width; place++) value = value * 2 + this.bits[this.at++]!;
    return value;
  }
}
