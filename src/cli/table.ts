/**
 * Plain text tables.
 *
 * @module
 */

/** A column: its heading, and whether its cells line up on the right as numbers do. */
export interface Column {
  readonly title: string;
  readonly right?: boolean;
}

/**
 * Rows under headings, columns as wide as their widest cell, two spaces between them.
 *
 * @throws {RangeError} A row has another number of cells than there are columns.
 */
export function formatTable(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
): string {
  for (const row of rows) {
    if (row.length !== columns.length) {
      throw new RangeError(`a row has ${row.length} cells for ${columns.length} columns`);
    }
  }
  const widths = columns.map(({ title }, i) =>
    Math.max(title.length, ...rows.map(row => row[i]!.length)),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) => (columns[i]!.right ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!)))
      .join('  ')
      .trimEnd();
  const titles = columns.map(({ title }) => title);
  const rule = widths.map(width => '-'.repeat(width));
  return `${[titles, rule, ...rows].map(line).join('\n')}\n`;
}
