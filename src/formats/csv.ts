/**
 * Reading tables that spreadsheets or people wrote: RFC 4180, and what is found in the wild.
 *
 * Line ends may be CR LF, LF or CR, mixed; a byte-order mark is skipped. Wrong quotation marks never
 * make rows vanish: from the first row with one, each line is a row of its own.
 *
 * @module
 */
import Papa from 'papaparse';

/** What may separate cells. */
export const DELIMITERS = [',', ';', '\t'] as const;

export type Delimiter = (typeof DELIMITERS)[number];

export interface CsvRow {
  /** Line on which the row begins, from 1. */
  readonly line: number;
  /** As written, without the quotation marks around them. */
  readonly cells: readonly string[];
  /** Whether the quotation marks are as they should be; if not, they are dropped. */
  readonly isWellQuoted: boolean;
}

/**
 * All rows of a table, empty ones too (they have one empty cell); an empty text has none.
 *
 * @param everyLineIsARow - Whether line breaks in quotation marks end a row as well.
 */
export function parseCsv(text: string, delimiter: Delimiter, everyLineIsARow = false): CsvRow[] {
  const unified = text.replace(/^\uFEFF+/, '').replace(/\r\n?/g, '\n');
  if (unified === '') return [];
  if (everyLineIsARow) return rowOfEachLine(unified.split('\n'), delimiter, 1);
  const { data, errors } = papaParse(unified, delimiter);
  const firstFault = errors.reduce((first, { row }) => Math.min(first, row ?? 0), data.length);
  let line = 1;
  const rows: CsvRow[] = [];
  for (const cells of data.slice(0, firstFault)) {
    rows.push({ line, cells, isWellQuoted: true });
    line += 1 + cells.reduce((sum, cell) => sum + lineBreaks(cell), 0);
  }
  if (firstFault === data.length) return rows;
  return rows.concat(rowOfEachLine(unified.split('\n').slice(line - 1), delimiter, line));
}

function rowOfEachLine(lines: readonly string[], delimiter: Delimiter, first: number): CsvRow[] {
  return lines.map((text, i): CsvRow => {
    const line = first + i;
    if (!text.includes('"')) return { line, cells: text.split(delimiter), isWellQuoted: true };
    const isPaired = text.split('"').length % 2 === 1;
    const parsed = isPaired ? papaParse(text, delimiter) : undefined;
    if (parsed?.errors.length === 0) return { line, cells: parsed.data[0]!, isWellQuoted: true };
    return { line, cells: text.replaceAll('"', '').split(delimiter), isWellQuoted: false };
  });
}

const papaParse = (text: string, delimiter: Delimiter): Papa.ParseResult<string[]> =>
  Papa.parse<string[]>(text, { delimiter, newline: '\n' });

function lineBreaks(cell: string): number {
  let count = 0;
  for (let at = cell.indexOf('\n'); at !== -1; at = cell.indexOf('\n', at + 1)) count += 1;
  return count;
}
