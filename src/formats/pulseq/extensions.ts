/**
 * The section [EXTENSIONS]: lists that blocks point into, then the extensions' own rows.
 *
 * Only ROTATIONS change the sound. TRIGGERS take time, which counts where a block's length is that of
 * its longest event (before 1.4). Labels, soft delays (which keep their written length) and RF shims
 * are checked to exist and not kept. Extensions are known by name; their numbers differ from file to
 * file.
 *
 * Source: Pulseq file format specification 1.5, section "Extensions".
 *
 * @module
 */
import { type SeqProblems, shown } from './problems.js';
import type { Rows } from './rows.js';
import type { Quaternion } from './sequence.js';
import type { Sections } from './sections.js';
import { type Columns, columns, readRow } from './table.js';

/** What a list of extensions means for its block. */
export interface BlockExtension {
  /** Number in {@link Extensions.rotations}; 0 for none. */
  readonly rotation: number;
  /** End of the last trigger in s. */
  readonly triggerEndSeconds: number;
}

export interface Extensions {
  /** By the number that blocks point to. */
  readonly lists: ReadonlyMap<number, BlockExtension>;
  readonly rotations: ReadonlyMap<number, Quaternion>;
  readonly unknown: readonly string[];
}

interface Entry {
  readonly type: number;
  readonly ref: number;
  readonly next: number;
  readonly at: number;
}

/** A row of an extension. */
interface OwnRow {
  readonly numbers: readonly number[];
  readonly at: number;
}

/** An extension's own rows by their numbers; undefined for an extension that is not known. */
interface Specification {
  readonly name: string;
  readonly rows: Map<number, OwnRow> | undefined;
}

const US = 1e-6;

/** How far from 1 the length of a rotation's quaternion may be: six digits are written. */
const UNIT_TOLERANCE = 1e-3;

const ID = columns({ id: 'id' });

/** Columns of known extensions, as far as they matter here; text may follow. */
const KNOWN: Readonly<Record<string, Columns>> = {
  TRIGGERS: columns({
    id: 'id',
    type: 'number',
    channel: 'number',
    delay: 'time',
    duration: 'time',
  }),
  ROTATIONS: columns({ id: 'id', w: 'number', x: 'number', y: 'number', z: 'number' }),
  LABELSET: ID,
  LABELINC: ID,
  DELAYS: ID,
  RF_SHIMS: ID,
};

const LIST = columns({ id: 'id', type: 'id', ref: 'id', next: 'reference' });

/**
 * Reads the extensions.
 *
 * @param required - Value of the definition RequiredExtensions: names with blanks between.
 */
export function readExtensions(
  sections: Sections,
  required: string,
  problems: SeqProblems,
): Extensions {
  const entries = new Map<number, Entry>();
  const specifications = new Map<number, Specification>();
  const rows = sections.get('EXTENSIONS')?.rows();
  let current: Specification | undefined;
  while (rows?.next()) {
    if (rows.startsWithLetter()) current = readHead(rows, specifications, problems);
    else if (current === undefined) readEntry(rows, entries, problems);
    else readOwnRow(rows, current, problems);
  }
  checkRequired(required, sections, problems);
  const lists = new ListResolver(entries, specifications, problems);
  return {
    lists: new Map([...entries.keys()].map(id => [id, lists.of(id)])),
    rotations: readRotations(specifications, problems),
    unknown: [...specifications.values()].filter(({ rows }) => !rows).map(({ name }) => name),
  };
}

/** `extension NAME type`. */
function readHead(
  rows: Rows,
  specifications: Map<number, Specification>,
  problems: SeqProblems,
): Specification {
  const keyword = rows.word();
  const name = rows.word();
  const count = rows.readNumbers(1);
  const type = rows.numbers[0]!;
  const known = Object.hasOwn(KNOWN, name);
  const specification = { name, rows: known ? new Map<number, OwnRow>() : undefined };
  if (keyword !== 'extension' || name === '' || count !== 1 || !rows.atEnd()) {
    problems.add(rows.at, '[EXTENSIONS]', shown(rows.row()), '"extension", its name, its number');
  } else if (specifications.has(type)) {
    problems.add(rows.at, '[EXTENSIONS]', `a second extension ${type}`, 'each number once');
  } else specifications.set(type, specification);
  return specification;
}

function readEntry(rows: Rows, entries: Map<number, Entry>, problems: SeqProblems): void {
  if (!readRow(rows, LIST, '[EXTENSIONS]', problems)) return;
  const [id, type, ref, next] = rows.numbers;
  if (entries.has(id!)) {
    problems.add(rows.at, '[EXTENSIONS]', `a second entry ${id!}`, 'each number once');
  }
  entries.set(id!, { type: type!, ref: ref!, next: next!, at: rows.at });
}

function readOwnRow(rows: Rows, specification: Specification, problems: SeqProblems): void {
  const { name, rows: own } = specification;
  if (own === undefined) return;
  const table = KNOWN[name]!;
  if (!readRow(rows, table, `extension ${name}`, problems, true)) return;
  own.set(rows.numbers[0]!, {
    numbers: Array.from(rows.numbers.subarray(0, rows.count)),
    at: rows.at,
  });
}

function checkRequired(required: string, sections: Sections, problems: SeqProblems): void {
  for (const name of required.split(/\s+/)) {
    if (name === '' || Object.hasOwn(KNOWN, name)) continue;
    problems.add(
      sections.get('DEFINITIONS')!.at,
      '[DEFINITIONS] RequiredExtensions',
      `the extension ${shown(name)}, which softknock does not know`,
      Object.keys(KNOWN).join(', '),
      'Export the sequence without this extension: what it does cannot be left out.',
    );
  }
}

/** Follows lists of extensions to their ends, each entry once. */
class ListResolver {
  private readonly resolved = new Map<number, BlockExtension>();

  constructor(
    private readonly entries: ReadonlyMap<number, Entry>,
    private readonly specifications: ReadonlyMap<number, Specification>,
    private readonly problems: SeqProblems,
  ) {}

  of(id: number): BlockExtension {
    const path: number[] = [];
    const onPath = new Set<number>();
    let next = id;
    while (next !== 0 && !this.resolved.has(next)) {
      if (onPath.has(next)) this.circle(next);
      const entry = this.entries.get(next);
      if (entry === undefined) {
        this.noEntry(next, path.at(-1));
        break;
      }
      onPath.add(next);
      path.push(next);
      next = entry.next;
    }
    let tail = this.resolved.get(next) ?? { rotation: 0, triggerEndSeconds: 0 };
    for (const one of path.reverse()) this.resolved.set(one, (tail = this.withEntry(one, tail)));
    return tail;
  }

  private withEntry(id: number, tail: BlockExtension): BlockExtension {
    const { type, ref, at } = this.entries.get(id)!;
    const specification = this.specifications.get(type);
    if (specification === undefined) {
      this.problems.add(
        at,
        '[EXTENSIONS]',
        `type ${type}, which no extension has`,
        'the number of an extension in this section',
      );
      return tail;
    }
    const { name, rows } = specification;
    if (rows === undefined) return tail;
    const row = rows.get(ref);
    if (row === undefined) {
      this.problems.add(
        at,
        '[EXTENSIONS]',
        `ref ${ref}, which extension ${name} does not have`,
        `the number of a row of extension ${name}`,
      );
      return tail;
    }
    if (name === 'TRIGGERS') {
      const [, , , delayUs, lengthUs] = row.numbers;
      return {
        ...tail,
        triggerEndSeconds: Math.max(tail.triggerEndSeconds, (delayUs! + lengthUs!) * US),
      };
    }
    if (name !== 'ROTATIONS') return tail;
    if (tail.rotation !== 0) {
      this.problems.add(
        at,
        '[EXTENSIONS]',
        'two rotations in one list',
        'one rotation for a block',
      );
    }
    return { ...tail, rotation: ref };
  }

  private circle(id: number): never {
    return this.problems.fail(
      this.entries.get(id)!.at,
      '[EXTENSIONS]',
      `a list that comes back to its entry ${id}`,
      'lists that end with next 0',
    );
  }

  private noEntry(id: number, from: number | undefined): void {
    this.problems.add(
      from === undefined ? 0 : this.entries.get(from)!.at,
      '[EXTENSIONS]',
      `next is ${id}, an entry that does not exist`,
      'the number of an entry of this section, or 0',
    );
  }
}

function readRotations(
  specifications: ReadonlyMap<number, Specification>,
  problems: SeqProblems,
): ReadonlyMap<number, Quaternion> {
  const rotations = new Map<number, Quaternion>();
  for (const { name, rows } of specifications.values()) {
    if (name !== 'ROTATIONS') continue;
    for (const [id, { numbers, at }] of rows!) {
      const [, w, x, y, z] = numbers as [number, number, number, number, number];
      const length = Math.hypot(w, x, y, z);
      if (Math.abs(length - 1) <= UNIT_TOLERANCE) {
        rotations.set(id, [w / length, x / length, y / length, z / length]);
        continue;
      }
      problems.add(
        at,
        `extension ROTATIONS ${id}`,
        `a quaternion of length ${Number(length.toPrecision(6))}`,
        'a quaternion of length 1',
      );
    }
  }
  return rotations;
}
