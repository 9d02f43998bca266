/** Tables from outside, as CSV under `tests/vectors`. */
import { readFileSync } from 'node:fs';
import path from 'node:path';

/** Rows of a table by the names in its first line; cells are text. */
export function csvVectors<Name extends string>(
  file: string,
  names: readonly Name[],
): Record<Name, string>[] {
  const text = readFileSync(path.join(import.meta.dirname, '../vectors', file), 'utf8');
  const [head, ...lines] = text.trim().split('\n');
  if (head !== names.join(',')) throw new Error(`${file} has the columns ${String(head)}`);
  return lines.map(line => {
    const cells = line.split(',');
    return Object.fromEntries(names.map((name, i) => [name, cells[i]!])) as Record<Name, string>;
  });
}

/** A limit; an empty cell is none. */
export const limitOf = (cell: string, none: number): number => (cell === '' ? none : Number(cell));
