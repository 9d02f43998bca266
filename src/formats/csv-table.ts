/**
 * Comma-separated tables (RFC 4180) that are safe to open in a spreadsheet.
 *
 * @module
 */

/** Cells that a spreadsheet would take for a formula. */
const FORMULA_START = /^[=+\-@\t\r]/;

/** Cells that need quotes. */
const NEEDS_QUOTES = /[",\r\n]/;

/** Rows as CSV text, each ended by CR LF. Numbers are never taken for formulas; null is empty. */
export function csvTable(rows: readonly (readonly (string | number | null)[])[]): string {
  return rows.map(row => `${row.map(csvCell).join(',')}\r\n`).join('');
}

function csvCell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return String(value);
  const text = FORMULA_START.test(value) ? `'${value}` : value;
  return NEEDS_QUOTES.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
