/**
 * A family's log as a table: which columns it has, and its rows.
 *
 * @module
 */
import { UserError } from '../errors.js';
import { type CsvRow, type Delimiter, DELIMITERS, parseCsv } from '../formats/csv.js';
import { quote } from '../protocol/quote.js';
import { LOG_COLUMNS, type LogColumn, REQUIRED_COLUMNS } from './log-columns.js';

/** Something in a log that is not as it should be, and what was made of it. */
export interface LogProblem {
  /** From 1. */
  readonly line: number;
  /** Null for the row as a whole. */
  readonly column: string | null;
  /** A sentence without its full stop. */
  readonly found: string;
  /** A sentence without its full stop. */
  readonly used: string;
}

/** A log whose header is understood. */
export interface LogTable {
  /** Where each column stands, from 0. */
  readonly columns: ReadonlyMap<LogColumn, number>;
  /** Cells of the header. */
  readonly width: number;
  /** Cells that a row must have at least; the note may be missing. */
  readonly neededWidth: number;
  /** Without the header, empty rows and repeated headers. */
  readonly rows: readonly CsvRow[];
  readonly problems: readonly LogProblem[];
}

/**
 * Finds the header and the rows.
 *
 * @param kit - Code that rows begin with, as letters and digits; a quotation mark that takes in such
 * rows is a mistake.
 * @param file - Name for messages.
 * @throws {UserError} `BAD_LOG`: no text, required columns missing, or a column twice.
 */
export function readLogTable(text: string, kit: string, file: string): LogTable {
  const delimiter = delimiterOf(text);
  const read = (everyLineIsARow: boolean): CsvRow[] =>
    parseCsv(text, delimiter, everyLineIsARow)
      .filter(isNotEmpty)
      .map(row => unwrapped(row, delimiter));
  const problems: LogProblem[] = [];
  let all = read(false);
  const swallowing = all.find(({ cells }) => cells.some(cell => hidesRow(cell, kit)));
  if (swallowing !== undefined) {
    all = read(true);
    problems.push({
      line: swallowing.line,
      column: null,
      found: 'a quotation mark around several rows',
      used: 'each line as a row of its own',
    });
  }
  const [header, ...rows] = all;
  if (header === undefined) throw badHeader(file, 1, 'nothing');
  const columns = columnsOf(header, file);
  problems.push(...headerProblems(header, columns));
  const isHeaderAgain = ({ cells }: CsvRow): boolean =>
    columnName(cells[columns.get('kit')!]) === 'kit' &&
    columnName(cells[columns.get('date')!]) === 'date';
  for (const row of rows) {
    if (!isHeaderAgain(row)) continue;
    problems.push({ line: row.line, column: null, found: 'the header again', used: 'passed over' });
  }
  return {
    columns,
    width: header.cells.length,
    neededWidth:
      1 + Math.max(...[...columns].map(([name, place]) => (name === 'note' ? -1 : place))),
    rows: rows.filter(row => !isHeaderAgain(row)),
    problems,
  };
}

/** What a row has in a column; nothing when there is no such cell. */
export function cellOf(row: CsvRow, { columns }: LogTable, column: LogColumn): string {
  const place = columns.get(column);
  return place === undefined ? '' : (row.cells[place] ?? '');
}

/** Letters and digits of a kit's code, as it is compared. */
export const bareCode = (text: string): string => text.toUpperCase().replace(/[^\dA-Z]/g, '');

const isNotEmpty = ({ cells }: CsvRow): boolean => cells.some(cell => cell.trim() !== '');

/** Whether a row of the kit stands in a cell, after a line break. */
function hidesRow(cell: string, kit: string): boolean {
  const end = cell.indexOf('\n');
  return end !== -1 && bareCode(cell.slice(end)).includes(kit);
}

/** Spreadsheets may take a row for one cell, and save it as one: `"kit,step,date"`. */
function unwrapped(row: CsvRow, delimiter: Delimiter): CsvRow {
  const [cell, second] = row.cells;
  if (second !== undefined || !cell!.includes(delimiter)) return row;
  const [inner] = parseCsv(cell!, delimiter);
  return { ...inner!, line: row.line };
}

/** The one that makes most columns of the first line. */
function delimiterOf(text: string): Delimiter {
  const header = /[^\s].*/.exec(text.replace(/^\uFEFF/, ''))?.[0] ?? '';
  const known = (delimiter: Delimiter): number => {
    const [row] = parseCsv(header, delimiter);
    if (row === undefined) return 0;
    return unwrapped(row, delimiter).cells.filter(cell => isColumn(columnName(cell))).length;
  };
  return DELIMITERS.reduce((best, next) => (known(next) > known(best) ? next : best));
}

function columnName(cell: string | undefined): string {
  return (cell ?? '')
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_');
}

const isColumn = (name: string): name is LogColumn => LOG_COLUMNS.some(known => known === name);

function columnsOf(header: CsvRow, file: string): Map<LogColumn, number> {
  const names = header.cells.map(columnName);
  const columns = new Map<LogColumn, number>();
  const twice = new Set<LogColumn>();
  for (const [place, name] of names.entries()) {
    if (!isColumn(name)) continue;
    if (columns.has(name)) twice.add(name);
    columns.set(name, place);
  }
  const missing = REQUIRED_COLUMNS.filter(name => !columns.has(name));
  if (missing.length > 0) {
    const shown = names.filter(name => name !== '').slice(0, 20);
    throw badHeader(
      file,
      header.line,
      `no column ${missing.join(', ')} in ${quote(shown.join(', '))}`,
    );
  }
  if (twice.size > 0) {
    throw badHeader(file, header.line, `more than one column ${[...twice].join(', ')}`);
  }
  return columns;
}

function headerProblems(header: CsvRow, columns: ReadonlyMap<LogColumn, number>): LogProblem[] {
  const extra = header.cells.filter(cell => cell.trim() !== '' && !isColumn(columnName(cell)));
  const problem = (column: string | null, found: string, used: string): LogProblem => ({
    line: header.line,
    column,
    found,
    used,
  });
  return [
    ...LOG_COLUMNS.filter(name => name !== 'note' && !columns.has(name)).map(name =>
      problem(
        name,
        'no such column',
        `not known of any session${name === 'signs' ? '; none can count as comfortable' : ''}`,
      ),
    ),
    ...(extra.length === 0
      ? []
      : [
          problem(
            null,
            `more columns: ${extra.slice(0, 5).map(quote).join(', ')}${extra.length > 5 ? ' …' : ''}`,
            'not read',
          ),
        ]),
  ];
}

function badHeader(file: string, line: number, found: string): UserError {
  return new UserError('BAD_LOG', `${file} is not a log.`, [
    {
      where: `${file}:${line}`,
      found,
      allowed: `a first line with the columns ${LOG_COLUMNS.join(',')}`,
      fix: 'Use the log.csv of the kit, or the one that its page saves.',
    },
  ]);
}
