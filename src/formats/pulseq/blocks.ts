/**
 * The section [BLOCKS]: which events are played together, one block after another.
 *
 * From 1.4 a block says how long it is. Before that it is as long as its longest event, or as its
 * delay.
 *
 * @module
 */
import type { Events } from './events.js';
import type { Extensions } from './extensions.js';
import type { SeqProblems } from './problems.js';
import type { Rows } from './rows.js';
import type { PulseqBlocks, PulseqGradient } from './sequence.js';
import type { ShapeTraits } from './shape-traits.js';
import { byMinor, columns, readRow, type SeqContext } from './table.js';

/** Longest sequence that is read, in s: as long as the longest scan of a study file. */
const MAX_DURATION_SECONDS = 3600;

/**
 * How much longer than its block an event may be, in s: times are written in whole microseconds, and
 * some exporters round them.
 */
const OVERHANG_SECONDS = 1e-6;

/** First version whose blocks say how long they are. */
const WRITES_DURATIONS = 4;

/** Columns of a block that name events. */
const ID_COLUMNS = 6;

const BLOCKS = byMinor({
  2: columns({
    id: 'id',
    delay: 'reference',
    rf: 'reference',
    gx: 'reference',
    gy: 'reference',
    gz: 'reference',
    adc: 'reference',
  }),
  3: columns({
    id: 'id',
    delay: 'reference',
    rf: 'reference',
    gx: 'reference',
    gy: 'reference',
    gz: 'reference',
    adc: 'reference',
    ext: 'reference',
  }),
  4: columns({
    id: 'id',
    duration: 'time',
    rf: 'reference',
    gx: 'reference',
    gy: 'reference',
    gz: 'reference',
    adc: 'reference',
    ext: 'reference',
  }),
});

/** Reads the blocks and checks that everything they name exists and fits. */
export function readBlocks(
  context: SeqContext,
  events: Events,
  extensions: Extensions,
  traits: ShapeTraits,
): PulseqBlocks {
  const { sections, version, rasters } = context;
  const problems: SeqProblems = context.problems;
  const section = sections.get('BLOCKS');
  if (section === undefined) {
    problems.fail(
      0,
      '[BLOCKS]',
      'no section [BLOCKS]',
      'at least one block',
      'Check that the file is whole; export it again.',
    );
  }
  const table = BLOCKS[version.minor]!;
  const hasExtensions = table.names.includes('ext');
  const links = new Links(events, extensions, traits, rasters.gradientSeconds, problems);
  const rows = section.rows();
  const blocks = new BlockColumns();
  let total = 0;
  while (rows.next()) {
    if (!readRow(rows, table, '[BLOCKS]', problems)) continue;
    const [, second, rf, x, y, z, adc, list] = rows.numbers;
    const ext = hasExtensions ? list! : 0;
    const longestSeconds = links.longestSeconds(rows, rf!, x!, y!, z!, adc!, ext);
    const duration =
      version.minor < WRITES_DURATIONS
        ? Math.round(
            Math.max(longestSeconds, links.delaySeconds(rows, second!)) / rasters.blockSeconds,
          )
        : checkedDuration(rows, second!, longestSeconds, rasters.blockSeconds, problems);
    total += duration;
    if (total * rasters.blockSeconds > MAX_DURATION_SECONDS) {
      problems.fail(
        rows.at,
        '[BLOCKS]',
        `a sequence of more than ${MAX_DURATION_SECONDS} s up to here`,
        `at most ${MAX_DURATION_SECONDS} s`,
        'Check the durations, or split the sequence into several scans.',
      );
    }
    blocks.push(duration, rf!, x!, y!, z!, adc!, extensions.lists.get(ext)?.rotation ?? 0);
  }
  if (total === 0) {
    const found = blocks.count === 0 ? 'no block' : 'blocks that last no time';
    problems.add(section.at, '[BLOCKS]', found, 'at least one block that lasts');
  }
  return blocks.finish(rasters.blockSeconds);
}

/** A duration in block rasters as written, checked against the block's events. */
function checkedDuration(
  rows: Rows,
  duration: number,
  longestSeconds: number,
  rasterSeconds: number,
  problems: SeqProblems,
): number {
  if (!Number.isInteger(duration)) {
    problems.add(
      rows.at,
      '[BLOCKS]',
      `duration is ${duration}`,
      'duration: a whole number of BlockDurationRaster',
    );
  } else if (longestSeconds > duration * rasterSeconds + OVERHANG_SECONDS) {
    problems.add(
      rows.at,
      '[BLOCKS]',
      `an event that ends ${inMicroseconds(longestSeconds)} after the block's start`,
      `events within the block, which lasts ${inMicroseconds(duration * rasterSeconds)}`,
    );
  }
  return duration;
}

const inMicroseconds = (timeSeconds: number): string =>
  `${Number((timeSeconds * 1e6).toPrecision(9))} us`;

/** Follows the numbers in a block to the ends of its events. */
class Links {
  private readonly rf: ReadonlyMap<number, number>;
  private readonly gradients: ReadonlyMap<number, number>;
  private readonly adc: ReadonlyMap<number, number>;
  private readonly lists: ReadonlyMap<number, number>;

  constructor(
    private readonly events: Events,
    extensions: Extensions,
    traits: ShapeTraits,
    rasterSeconds: number,
    private readonly problems: SeqProblems,
  ) {
    this.rf = mapValues(events.rf, ({ endSeconds }) => endSeconds);
    this.adc = mapValues(events.adc, ({ endSeconds }) => endSeconds);
    this.lists = mapValues(extensions.lists, ({ triggerEndSeconds }) => triggerEndSeconds);
    this.gradients = mapValues(events.gradients, gradient =>
      endOf(gradient, traits, rasterSeconds),
    );
  }

  /** When the longest event of a block ends, in s. */
  longestSeconds(
    rows: Rows,
    rf: number,
    x: number,
    y: number,
    z: number,
    adc: number,
    ext: number,
  ): number {
    return Math.max(
      this.end(rows, 'rf', rf, this.rf, '[RF]'),
      this.end(rows, 'gx', x, this.gradients, '[GRADIENTS] or [TRAP]'),
      this.end(rows, 'gy', y, this.gradients, '[GRADIENTS] or [TRAP]'),
      this.end(rows, 'gz', z, this.gradients, '[GRADIENTS] or [TRAP]'),
      this.end(rows, 'adc', adc, this.adc, '[ADC]'),
      this.end(rows, 'ext', ext, this.lists, '[EXTENSIONS]'),
    );
  }

  /** The delay of a block in a version before 1.4, in s. */
  delaySeconds(rows: Rows, id: number): number {
    return this.end(rows, 'delay', id, this.events.delaysSeconds, '[DELAYS]');
  }

  private end(
    rows: Rows,
    column: string,
    id: number,
    ends: ReadonlyMap<number, number>,
    section: string,
  ): number {
    if (id === 0) return 0;
    const endSeconds = ends.get(id);
    if (endSeconds !== undefined) return endSeconds;
    this.problems.add(
      rows.at,
      '[BLOCKS]',
      `${column} is ${id}, which does not exist`,
      `0 or the number of an entry of ${section}`,
      'Check that the file is whole; export it again.',
    );
    return 0;
  }
}

/** When a gradient ends after its block's start, in s. */
function endOf(gradient: PulseqGradient, traits: ShapeTraits, rasterSeconds: number): number {
  if (gradient.kind === 'trapezoid') {
    return (
      gradient.delaySeconds + gradient.riseSeconds + gradient.flatSeconds + gradient.fallSeconds
    );
  }
  const { delaySeconds, shape, times } = gradient;
  if (times === 'centres') return delaySeconds + shape.length * rasterSeconds;
  if (times === 'half-raster') return delaySeconds + ((shape.length + 1) / 2) * rasterSeconds;
  return delaySeconds + traits.of(times).last * rasterSeconds;
}

const mapValues = <T, U>(
  map: ReadonlyMap<number, T>,
  value: (from: T) => U,
): ReadonlyMap<number, U> => new Map([...map].map(([id, from]) => [id, value(from)]));

/** Columns that grow row by row, side by side in one array. */
class BlockColumns {
  count = 0;
  private durations = new Float64Array(1024);
  private ids = new Int32Array(ID_COLUMNS * 1024);

  push(
    duration: number,
    rf: number,
    x: number,
    y: number,
    z: number,
    adc: number,
    rotation: number,
  ): void {
    if (this.count === this.durations.length) this.grow();
    this.durations[this.count] = duration;
    const at = ID_COLUMNS * this.count++;
    this.ids[at] = rf;
    this.ids[at + 1] = x;
    this.ids[at + 2] = y;
    this.ids[at + 3] = z;
    this.ids[at + 4] = adc;
    this.ids[at + 5] = rotation;
  }

  finish(unitSeconds: number): PulseqBlocks {
    const column = (number: number): Int32Array => {
      const values = new Int32Array(this.count);
      for (let i = 0; i < values.length; i++) values[i] = this.ids[ID_COLUMNS * i + number]!;
      return values;
    };
    return {
      count: this.count,
      unitSeconds,
      durations: this.durations.slice(0, this.count),
      rf: column(0),
      x: column(1),
      y: column(2),
      z: column(3),
      adc: column(4),
      rotation: column(5),
    };
  }

  private grow(): void {
    const durations = new Float64Array(2 * this.durations.length);
    durations.set(this.durations);
    this.durations = durations;
    const ids = new Int32Array(2 * this.ids.length);
    ids.set(this.ids);
    this.ids = ids;
  }
}
