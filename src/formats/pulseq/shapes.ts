/**
 * The section [SHAPES], and how shapes are decompressed.
 *
 * A compressed shape holds the differences of its samples, run-length coded: after two equal numbers
 * stands how many more times they repeat. So a run is a straight line, and a shape is kept as the
 * corners of its straight lines: a claim of 10^9 samples costs two of them.
 *
 * Source: Pulseq file format specification 1.5, section "Shapes".
 *
 * @module
 */
import type { PulseqShape, PulseqVersion } from './sequence.js';
import { type SeqProblems, shown } from './problems.js';
import type { Rows } from './rows.js';
import type { Sections } from './sections.js';
import { columns, readRow } from './table.js';

/** Corners of a shape: straight lines between them give every sample. */
export interface ShapeKnots {
  /** Sample numbers, from 0, rising, shape `[n]`; the last is that of the last sample. */
  readonly indices: Float64Array;
  /** Values there, shape `[n]`. */
  readonly values: Float64Array;
}

/** First version in which a shape whose stored count equals its length is not compressed. */
const MAY_BE_PLAIN = 4;

const NUMBER = columns({ sample: 'number' });

/** Reads every shape and checks its count. */
export function readShapes(
  sections: Sections,
  version: PulseqVersion,
  problems: SeqProblems,
): ReadonlyMap<number, PulseqShape> {
  const shapes = new Map<number, PulseqShape>();
  const rows = sections.get('SHAPES')?.rows();
  if (rows === undefined) return shapes;
  const stored = new GrowingNumbers();
  let more = rows.next();
  while (more) {
    const at = rows.at;
    const id = readHeader(rows, 'shape_id', problems);
    if (!rows.next()) problems.fail(at, '[SHAPES]', `shape ${id} breaks off`, 'num_samples');
    const length = readHeader(rows, 'num_samples', problems);
    stored.clear();
    while ((more = rows.next()) && !rows.afterBlank && !rows.startsWithLetter()) {
      if (readRow(rows, NUMBER, `shape ${id}`, problems)) stored.push(rows.numbers[0]!);
    }
    const compressed = version.minor < MAY_BE_PLAIN || stored.count !== length;
    const shape = { id, length, stored: stored.copy(), compressed };
    if (shapes.has(id)) {
      problems.add(at, '[SHAPES]', `a second shape ${id}`, 'each number once');
    }
    shapes.set(id, shape);
    checkCount(shape, at, problems);
  }
  return shapes;
}

/** The corners of a shape. It must have passed the check of its count. */
export function shapeKnots(shape: PulseqShape): ShapeKnots {
  if (!shape.compressed) {
    return { indices: shape.stored.map((_, i) => i), values: shape.stored };
  }
  const indices = new Float64Array(shape.stored.length);
  const values = new Float64Array(shape.stored.length);
  let knots = 0;
  let index = -1;
  let value = 0;
  eachRun(shape.stored, (difference, count) => {
    index += count;
    value += difference * count;
    // A line starts where the one before ends; the first one, at the first sample.
    if (knots === 0 && count > 1) {
      indices[knots] = 0;
      values[knots++] = difference;
    }
    indices[knots] = index;
    values[knots++] = value;
  });
  return { indices: indices.slice(0, knots), values: values.slice(0, knots) };
}

/** Calls back for every run of equal differences. Returns false when a count is missing or no count. */
function eachRun(
  stored: Float64Array,
  visit: (difference: number, count: number) => void,
): boolean {
  for (let i = 0; i < stored.length; i++) {
    const difference = stored[i]!;
    if (stored[i + 1] !== difference) {
      visit(difference, 1);
      continue;
    }
    const repeats = stored[i + 2];
    if (repeats === undefined || !Number.isSafeInteger(repeats) || repeats < 0) return false;
    visit(difference, 2 + repeats);
    i += 2;
  }
  return true;
}

function checkCount(shape: PulseqShape, at: number, problems: SeqProblems): void {
  const { id, length, stored, compressed } = shape;
  let count = stored.length;
  let counted = true;
  if (compressed) {
    count = 0;
    counted = eachRun(stored, (_, repeats) => (count += repeats));
  }
  if (counted && count === length) return;
  problems.add(
    at,
    `shape ${id}`,
    counted
      ? `${count} samples`
      : `${stored.length} numbers, two equal ones without the count of their repeats`,
    `${length} samples, as num_samples says, each by itself or repeats counted`,
    'Check that the file is whole; export it again.',
  );
}

/** Headers are `shape_id 3` and `num_samples 50`. */
function readHeader(rows: Rows, key: string, problems: SeqProblems): number {
  const word = rows.word();
  if (word.toLowerCase() === key) {
    const count = rows.readNumbers(1);
    const value = rows.numbers[0]!;
    if (count === 1 && rows.atEnd() && Number.isSafeInteger(value) && value > 0) return value;
  }
  return problems.fail(
    rows.at,
    '[SHAPES]',
    shown(rows.row()),
    `${key} and a whole number from 1 on`,
  );
}

/** An array that grows as numbers come: nothing is set aside for what a file merely claims. */
class GrowingNumbers {
  count = 0;
  private numbers = new Float64Array(1024);

  push(value: number): void {
    if (this.count === this.numbers.length) {
      const larger = new Float64Array(2 * this.count);
      larger.set(this.numbers);
      this.numbers = larger;
    }
    this.numbers[this.count++] = value;
  }

  clear(): void {
    this.count = 0;
  }

  copy(): Float64Array {
    return this.numbers.slice(0, this.count);
  }
}
