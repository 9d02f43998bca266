/**
 * Tables of numbers with a header: comma, semicolon or tab separated, `#` starts a comment line.
 *
 * @module
 */
import { type Problem, UserError, type UserErrorCode } from '../errors.js';

export interface NumberTable {
  readonly columns: readonly string[];
  /** One array per column. */
  readonly values: readonly (readonly number[])[];
}

/** Most problems listed of one table. */
const MAX_PROBLEMS = 5;

/**
 * Parses a table.
 *
 * @throws {UserError} `code`: no header, rows of another width, cells that are not finite numbers; each
 * with its line.
 */
export function parseNumberTable(text: string, fileName: string, code: UserErrorCode): NumberTable {
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map((line, i) => ({ line: line.trim(), number: i + 1 }))
    .filter(({ line }) => line !== '' && !line.startsWith('#'));
  const [header, ...rows] = lines;
  const problems: Problem[] = [];
  const refuse = (number: number, found: string, allowed: string, fix: string): void => {
    problems.push({ where: `${fileName}:${number}`, found, allowed, fix });
  };
  if (header === undefined || rows.length === 0) {
    refuse(1, 'no rows', 'a header line and rows of numbers', 'Check that this is the right file.');
  }
  const separator = [',', ';', '\t'].find(mark => header?.line.includes(mark)) ?? ',';
  const columns = (header?.line ?? '').split(separator).map(name => name.trim().toLowerCase());
  const values: number[][] = columns.map(() => []);
  for (const { line, number } of rows) {
    if (problems.length >= MAX_PROBLEMS) break;
    const cells = line.split(separator).map(cell => cell.trim());
    if (cells.length !== columns.length) {
      refuse(
        number,
        `${cells.length} cells`,
        `${columns.length}, as in the header`,
        'Complete the row.',
      );
      continue;
    }
    cells.forEach((cell, i) => {
      const value = cell === '' ? NaN : Number(cell);
      if (Number.isFinite(value)) values[i]!.push(value);
      else refuse(number, `${columns[i]!} is "${cell}"`, 'a number', 'Correct or remove the row.');
    });
  }
  if (problems.length > 0) {
    throw new UserError(code, `${fileName} is not a table of numbers.`, problems);
  }
  return { columns, values };
}
