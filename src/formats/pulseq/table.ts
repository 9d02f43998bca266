/**
 * Rows of numbers with fixed columns, checked one by one.
 *
 * @module
 */
import { type SeqProblems, shown } from './problems.js';
import type { Rows } from './rows.js';
import type { SectionName, Sections } from './sections.js';
import type { PulseqRasters, PulseqShape, PulseqVersion } from './sequence.js';

/** What the reading of every section of events needs. */
export interface SeqContext {
  readonly sections: Sections;
  readonly version: PulseqVersion;
  readonly rasters: PulseqRasters;
  readonly shapes: ReadonlyMap<number, PulseqShape>;
  readonly problems: SeqProblems;
}

/** What a column may hold. */
export type Kind = 'id' | 'reference' | 'time' | 'number' | 'time shape';

/** Columns in order. */
export interface Columns {
  readonly names: readonly string[];
  readonly kinds: readonly Kind[];
}

/** Highest identification number: what the format stores in 32 bits. */
const MAX_ID = 2 ** 31 - 1;

/** Longest time in a row, in the column's own unit: more than an hour in nanoseconds. */
const MAX_TIME = 1e13;

const ALLOWED: Readonly<Record<Kind, string>> = {
  id: `a whole number from 1 to ${MAX_ID}`,
  reference: `a whole number from 0 (none) to ${MAX_ID}`,
  'time shape': `-1 (half raster), 0 (raster) or the number of a shape`,
  time: 'a number from 0 on',
  number: 'a number',
};

/** Columns from their names and kinds. */
export const columns = (spec: Readonly<Record<string, Kind>>): Columns => ({
  names: Object.keys(spec),
  kinds: Object.values(spec),
});

/**
 * Reads the numbers of a row into `rows.numbers` and checks them against the columns.
 *
 * @param what - Section or event for messages.
 * @param more - Whether text may follow the numbers.
 * @returns Whether the row is as it must be; otherwise a problem was taken down.
 */
export function readRow(
  rows: Rows,
  { names, kinds }: Columns,
  what: string,
  problems: SeqProblems,
  more = false,
): boolean {
  const count = rows.readNumbers(names.length);
  if (count < names.length || (!more && !rows.atEnd())) {
    const all = `${names.length} numbers${more ? ' and a word' : ''}: ${names.join(' ')}`;
    problems.add(rows.at, what, foundInstead(rows, count, names), all);
    return false;
  }
  for (let i = 0; i < count; i++) {
    const kind = kinds[i]!;
    if (fits(kind, rows.numbers[i]!)) continue;
    problems.add(
      rows.at,
      what,
      `${names[i]!} is ${rows.numbers[i]!}`,
      `${names[i]!}: ${ALLOWED[kind]}`,
    );
    return false;
  }
  return true;
}

/**
 * Reads a section of one event a row into `events`.
 *
 * @param read - Makes the event of a row whose numbers fit; undefined when it took down a problem.
 */
export function readTable<T>(
  { sections, problems }: SeqContext,
  name: SectionName,
  table: Columns,
  events: Map<number, T>,
  read: (rows: Rows) => T | undefined,
  endsInWord = false,
): ReadonlyMap<number, T> {
  const what = `[${name}]`;
  const rows = sections.get(name)?.rows();
  while (rows?.next()) {
    if (!readRow(rows, table, what, problems, endsInWord)) continue;
    const event = read(rows);
    if (event === undefined) continue;
    const id = rows.numbers[0]!;
    if (events.has(id)) problems.add(rows.at, what, `a second event ${id}`, 'each number once');
    events.set(id, event);
  }
  return events;
}

/** Takes down that an event names a shape that is not there. */
export function missingShape(
  rows: Rows,
  what: string,
  shapeId: number,
  problems: SeqProblems,
): void {
  problems.add(
    rows.at,
    what,
    `shape ${shapeId}, which does not exist`,
    'the number of a shape in [SHAPES]',
    'Check that the file is whole; export it again.',
  );
}

/** Columns of every minor version from those in which they change. */
export function byMinor(
  changes: Readonly<Record<number, Columns>>,
): Readonly<Record<number, Columns>> {
  const table: Record<number, Columns> = {};
  let current = changes[2]!;
  for (let minor = 2; minor <= 5; minor++) table[minor] = current = changes[minor] ?? current;
  return table;
}

function foundInstead(rows: Rows, count: number, names: readonly string[]): string {
  if (rows.atEnd()) return `${count} ${count === 1 ? 'number' : 'numbers'}`;
  if (count < names.length) return `${names[count]!} is ${shown(rows.word())}`;
  return `more than ${count} numbers: ${shown(rows.rest())}`;
}

function fits(kind: Kind, value: number): boolean {
  switch (kind) {
    case 'number':
      return true;
    case 'time':
      return value >= 0 && value <= MAX_TIME;
    case 'reference':
      return Number.isInteger(value) && value >= 0 && value <= MAX_ID;
    case 'id':
      return Number.isInteger(value) && value >= 1 && value <= MAX_ID;
    case 'time shape':
      return Number.isInteger(value) && value >= -1 && value <= MAX_ID;
  }
}
