/**
 * One row of a family's log: the session it tells of, and all that was wrong with it.
 *
 * @module
 */
import type { CsvRow } from '../formats/csv.js';
import { quote } from '../protocol/quote.js';
import {
  HIGHEST_RATING,
  NOT_USED,
  type Reading,
  readDay,
  readRating,
  readStep,
  readStopper,
  readTime,
  readYesNo,
} from './log-cells.js';
import type { LogColumn } from './log-columns.js';
import type { LogEntry } from './log-entry.js';
import { hasRedSign, listsRed, namesRedSign, type readSigns } from './log-signs.js';
import { bareCode, cellOf, type LogProblem, type LogTable } from './log-table.js';

/** What rows are held against. */
export interface ExpectedRow {
  /** Code of the kit. */
  readonly kit: string;
  /** Numbers of its steps. */
  readonly steps: ReadonlySet<number>;
  /** Last day of which there can be a session. */
  readonly today: string;
  /** Rating from which on practice stops. */
  readonly redMark: number;
  /** {@link readSigns}, or the same with a memory. */
  readonly readSigns: typeof readSigns;
}

/** What a row comes to. */
export interface RowReading {
  /** Null when it is no session of this kit. */
  readonly entry: LogEntry | null;
  readonly problems: readonly LogProblem[];
  /** Whether it holds a red sign or rating that stands in no entry. */
  readonly isRedElsewhere: boolean;
}

const RED_ELSEWHERE = {
  found: 'what may be a sign or a rating after which all practice stops',
  used: 'as one, to be on the safe side',
};

/** Reads a row. */
export function readLogRow(row: CsvRow, table: LogTable, expected: ExpectedRow): RowReading {
  const { line } = row;
  const isOurs = isOfKit(row, table, expected.kit);
  const problems = kitProblems(row, table, expected.kit);
  if (!isOurs && isOtherKit(row, table, expected.kit)) {
    return { entry: null, problems, isRedElsewhere: false };
  }
  const cells = new CellReader(row, table, expected.redMark);
  const date = cells.take('date', raw => readDay(raw, expected.today));
  const step = cells.take('step', raw => readStep(raw, expected.steps));
  const whyNot = cells.problems.filter(({ used }) => used.startsWith(NOT_USED));
  const session = {
    time: cells.take('time', readTime),
    volumeSet: cells.take('volume_set', readYesNo),
    completed: cells.take('completed', readYesNo),
    childRating: cells.take('child_rating', readRating),
    parentRating: cells.take('parent_rating', readRating),
    signs: cells.take('signs', expected.readSigns),
    stoppedBy: cells.take('stopped_by', readStopper),
    interrupted: cells.take('interrupted', readYesNo),
    volumeTouched: cells.take('volume_touched', readYesNo),
  };
  const shape = shapeProblems(row, table);
  const isRed =
    hasRedSign(session.signs) ||
    Math.max(session.childRating ?? 0, session.parentRating ?? 0) >= expected.redMark;
  const isInPlace = date !== null && step !== null;
  // Cells may stand under the wrong columns; where they do not, a step or an hour is no rating.
  const noRatings: readonly LogColumn[] =
    shape.length === 0 ? ['step', 'time'] : isInPlace ? ['step'] : [];
  const isRedAnywhere =
    isRed ||
    cells.isRed ||
    (!isOurs && namesRedSign(cellOf(row, table, 'kit'))) ||
    ((shape.length > 0 || cells.isDoubtful) &&
      listsRedAnywhere(row, table, expected.redMark, noRatings));
  if (!isOurs || date === null || step === null) {
    const unused = [...problems, ...shape.map(problem => ({ ...problem, used: NOT_USED }))];
    if (isOurs) unused.push(...whyNot);
    if (isRedAnywhere) unused.push({ line, column: null, ...RED_ELSEWHERE });
    return { entry: null, problems: unused, isRedElsewhere: isRedAnywhere };
  }
  const all = [...problems, ...shape, ...cells.problems];
  const isRedElsewhere = isRedAnywhere && !isRed;
  if (isRedElsewhere) all.push({ line, column: null, ...RED_ELSEWHERE });
  const isDoubtful = cells.isDoubtful || shape.length > 0 || !table.columns.has('signs');
  return { entry: { line, date, step, ...session, isDoubtful }, problems: all, isRedElsewhere };
}

/** Whether a row names the kit; capital letters, spaces and hyphens do not matter. */
export function isOfKit(row: CsvRow, table: LogTable, kit: string): boolean {
  const cell = cellOf(row, table, 'kit');
  return cell === kit || bareCode(cell) === bareCode(kit);
}

/**
 * Whether the code must be another kit's. One wrong character, or two neighbours swapped, are a slip:
 * the check character of a code keeps other codes further away than that.
 */
function isOtherKit(row: CsvRow, table: LogTable, kitCode: string): boolean {
  const code = bareCode(cellOf(row, table, 'kit'));
  const kit = bareCode(kitCode);
  if (code.length !== kit.length) return false;
  const wrong = Array.from(kit, (_, i) => i).filter(i => code[i] !== kit[i]);
  if (wrong.length !== 2) return wrong.length > 2;
  const [first, second] = wrong as [number, number];
  return second !== first + 1 || code[first] !== kit[second] || code[second] !== kit[first];
}

function kitProblems(row: CsvRow, table: LogTable, kit: string): LogProblem[] {
  const raw = cellOf(row, table, 'kit');
  if (raw.trim() === kit) return [];
  const problem = (found: string, used: string): LogProblem[] => [
    { line: row.line, column: 'kit', found, used },
  ];
  if (isOfKit(row, table, kit)) return problem(quote(raw), `read as ${kit}`);
  return raw.trim() === ''
    ? problem('no kit', `${NOT_USED}; write ${kit} if it is of this kit`)
    : problem(`${quote(raw)}, which is not this kit`, NOT_USED);
}

/**
 * Whether any cell lists what stops practice.
 *
 * @param noRatings - Columns whose numbers are something else.
 */
function listsRedAnywhere(
  row: CsvRow,
  table: LogTable,
  redMark: number,
  noRatings: readonly LogColumn[],
): boolean {
  const places = noRatings.map(column => table.columns.get(column));
  return row.cells.some(
    (cell, i) => listsRed(cell, redMark) && !(places.includes(i) && /^\d+$/.test(cell.trim())),
  );
}

/** What is wrong with a row before any cell is looked at. */
function shapeProblems({ line, cells, isWellQuoted }: CsvRow, table: LogTable): LogProblem[] {
  const problems: LogProblem[] = [];
  const used = 'each cell under its column; the session cannot count as comfortable';
  const add = (found: string): void => {
    problems.push({ line, column: null, found, used });
  };
  if (!isWellQuoted) add('a quotation mark without its partner');
  if (cells.length > table.width || cells.length < table.neededWidth) {
    add(`${cells.length} cells, where the header has ${table.width}`);
  }
  return problems;
}

/** Takes the cells of a row, and gathers what is to be said of them. */
class CellReader {
  readonly problems: LogProblem[] = [];
  /** Whether a cell could not be read. */
  isDoubtful = false;
  /** Whether a cell that could not be read names a red sign or a red rating. */
  isRed = false;

  constructor(
    private readonly row: CsvRow,
    private readonly table: LogTable,
    private readonly redMark: number,
  ) {}

  take<T>(column: LogColumn, read: (raw: string) => Reading<T>): T {
    const raw = cellOf(this.row, this.table, column);
    const { value, remark } = read(raw);
    if (remark === null) return value;
    const { found, used, isDoubtful } = remark;
    this.problems.push({ line: this.row.line, column, found, used });
    if (!isDoubtful) return value;
    this.isDoubtful = true;
    const isRating = column === 'child_rating' || column === 'parent_rating';
    this.isRed ||= namesRedSign(raw) || (isRating && namesRedMark(raw, this.redMark));
    return value;
  }
}

/** Whether a rating that could not be read holds a number of the red ones: `9.5`, `8-9`; `12` is a slip, and tells nothing. */
function namesRedMark(text: string, redMark: number): boolean {
  const numbers = text.replace(/(?:\/|\bof)\s*10(?!\d)/gi, '').match(/\d+(?:[.,]\d+)?/g) ?? [];
  return numbers
    .map(number => Number(number.replace(',', '.')))
    .some(number => number >= redMark && number <= HIGHEST_RATING);
}
