/**
 * The sections [GRADIENTS] and [TRAP], which share their identification numbers.
 *
 * Source: Pulseq file format specification 1.5, section "Gradients"; columns of earlier versions from
 * the specifications of 1.2, 1.3 and 1.4.
 *
 * @module
 */
import type { Rows } from './rows.js';
import type {
  PulseqGradient,
  PulseqShape,
  PulseqShapedGradient,
  PulseqTrapezoid,
} from './sequence.js';
import type { ShapeTraits } from './shape-traits.js';
import { byMinor, columns, missingShape, readTable, type SeqContext } from './table.js';

const US = 1e-6;

/**
 * Strongest gradient that can be meant, in Hz/m: 1 T/m, twice what the strongest scanners for people
 * have (0.5 T/m; common practice, no source).
 */
const MAX_AMPLITUDE = 42.576e6;

/** Shapes lie within -1 and 1; written with few digits, their running sums may end a little outside. */
const MAX_SHAPE_VALUE = 1.001;

const GRADIENTS = byMinor({
  2: columns({ id: 'id', amplitude: 'number', shape: 'id', delay: 'time' }),
  4: columns({
    id: 'id',
    amplitude: 'number',
    shape: 'id',
    timeShape: 'time shape',
    delay: 'time',
  }),
  5: columns({
    id: 'id',
    amplitude: 'number',
    first: 'number',
    last: 'number',
    shape: 'id',
    timeShape: 'time shape',
    delay: 'time',
  }),
});

const TRAP = columns({
  id: 'id',
  amplitude: 'number',
  rise: 'time',
  flat: 'time',
  fall: 'time',
  delay: 'time',
});

/** Reads the section [TRAP] into `gradients`. */
export function readTrapezoids(context: SeqContext, gradients: Map<number, PulseqGradient>): void {
  readTable(context, 'TRAP', TRAP, gradients, (rows): PulseqTrapezoid | undefined => {
    const [, amplitudeHzPerM, rise, flat, fall, delay] = rows.numbers;
    if (!fitsAmplitude(context, rows, '[TRAP]', 'amplitude', amplitudeHzPerM!)) return undefined;
    return {
      kind: 'trapezoid',
      amplitudeHzPerM: amplitudeHzPerM!,
      delaySeconds: delay! * US,
      riseSeconds: rise! * US,
      flatSeconds: flat! * US,
      fallSeconds: fall! * US,
    };
  });
}

/** Reads the section [GRADIENTS] into `gradients`. */
export function readShapedGradients(
  context: SeqContext,
  traits: ShapeTraits,
  gradients: Map<number, PulseqGradient>,
): void {
  const { version, shapes, problems } = context;
  const table = GRADIENTS[version.minor]!;
  const columnOf = (name: string): number => table.names.indexOf(name);
  const [shapeColumn, timeColumn, delayColumn] = ['shape', 'timeShape', 'delay'].map(columnOf);
  const hasEdges = columnOf('first') !== -1;
  readTable(context, 'GRADIENTS', table, gradients, rows => {
    const { numbers } = rows;
    const shape = shapes.get(numbers[shapeColumn!]!);
    if (shape === undefined) {
      missingShape(rows, '[GRADIENTS]', numbers[shapeColumn!]!, problems);
      return undefined;
    }
    const timeId = timeColumn === -1 ? 0 : numbers[timeColumn!]!;
    const times = timeId === 0 ? 'centres' : timeId === -1 ? 'half-raster' : shapes.get(timeId);
    if (times === undefined) {
      missingShape(rows, '[GRADIENTS]', timeId, problems);
      return undefined;
    }
    const gradient: PulseqShapedGradient = {
      kind: 'shaped',
      amplitudeHzPerM: numbers[1]!,
      delaySeconds: numbers[delayColumn!]! * US,
      shape,
      times,
      edgesHzPerM: hasEdges ? [numbers[2]!, numbers[3]!] : undefined,
    };
    return fits(context, traits, rows, gradient) ? gradient : undefined;
  });
}

/** Whether a gradient is as it must be; takes down what is wrong. */
function fits(
  context: SeqContext,
  traits: ShapeTraits,
  rows: Rows,
  { amplitudeHzPerM, edgesHzPerM, shape, times }: PulseqShapedGradient,
): boolean {
  const [first, last] = edgesHzPerM ?? [0, 0];
  const { extreme } = traits.of(shape);
  if (Math.abs(extreme) > MAX_SHAPE_VALUE) {
    context.problems.add(
      rows.at,
      '[GRADIENTS]',
      `shape ${shape.id} reaches ${extreme}`,
      'samples from -1 to 1',
    );
    return false;
  }
  return (
    fitsAmplitude(context, rows, '[GRADIENTS]', 'amplitude', amplitudeHzPerM) &&
    fitsAmplitude(context, rows, '[GRADIENTS]', 'first', first) &&
    fitsAmplitude(context, rows, '[GRADIENTS]', 'last', last) &&
    fitsTimes(context, traits, rows, shape, times)
  );
}

function fitsAmplitude(
  { problems }: SeqContext,
  rows: Rows,
  what: string,
  column: string,
  value: number,
): boolean {
  if (Math.abs(value) <= MAX_AMPLITUDE) return true;
  problems.add(
    rows.at,
    what,
    `${column} is ${value} Hz/m`,
    `${column}: up to ${MAX_AMPLITUDE} Hz/m (1 T/m)`,
  );
  return false;
}

function fitsTimes(
  { problems }: SeqContext,
  traits: ShapeTraits,
  rows: Rows,
  shape: PulseqShape,
  times: PulseqShapedGradient['times'],
): boolean {
  const refuse = (found: string, allowed: string): false => {
    problems.add(rows.at, '[GRADIENTS]', found, allowed);
    return false;
  };
  if (times === 'centres') return true;
  if (times === 'half-raster') {
    if (shape.length % 2 === 1) return true;
    return refuse(
      `${shape.length} samples every half raster`,
      'an odd number of them: one for each centre, and one between neighbours',
    );
  }
  if (times.length !== shape.length) {
    return refuse(
      `shape ${shape.id} with ${shape.length} samples, time shape ${times.id} with ${times.length}`,
      'as many times as samples',
    );
  }
  const { rises, last } = traits.of(times);
  if (!rises) {
    return refuse(
      `time shape ${times.id}, which does not rise from point to point`,
      'rising times from 0 on, in units of GradientRasterTime',
    );
  }
  // Half a raster is as fine as the format's own shapes go; finer points only make a file costly.
  if (times.length <= 2 * last + 2) return true;
  return refuse(
    `time shape ${times.id} with ${times.length} points in ${last} rasters`,
    'at most two points to a raster',
  );
}
