/**
 * The sections of events: [RF], [GRADIENTS], [TRAP], [ADC] and [DELAYS], whose columns differ from
 * version to version.
 *
 * Of pulses and readouts only the time they take is kept: they make no sound.
 *
 * Source: Pulseq file format specification 1.5, section "Events"; columns of earlier versions from
 * the specifications of 1.2, 1.3 and 1.4.
 *
 * @module
 */
import { readShapedGradients, readTrapezoids } from './gradients.js';
import type { PulseqEvent, PulseqGradient } from './sequence.js';
import type { Rows } from './rows.js';
import type { ShapeTraits } from './shape-traits.js';
import { byMinor, columns, missingShape, readTable, type SeqContext } from './table.js';

export interface Events {
  readonly rf: ReadonlyMap<number, PulseqEvent>;
  readonly gradients: ReadonlyMap<number, PulseqGradient>;
  readonly adc: ReadonlyMap<number, PulseqEvent>;
  /** Delays in s, of versions before 1.4. */
  readonly delaysSeconds: ReadonlyMap<number, number>;
}

const US = 1e-6;
const NS = 1e-9;

const RF = byMinor({
  2: columns({
    id: 'id',
    amplitude: 'number',
    magnitude: 'reference',
    phaseShape: 'reference',
    delay: 'time',
    frequency: 'number',
    phase: 'number',
  }),
  4: columns({
    id: 'id',
    amplitude: 'number',
    magnitude: 'reference',
    phaseShape: 'reference',
    timeShape: 'time shape',
    delay: 'time',
    frequency: 'number',
    phase: 'number',
  }),
  5: columns({
    id: 'id',
    amplitude: 'number',
    magnitude: 'reference',
    phaseShape: 'reference',
    timeShape: 'time shape',
    center: 'number',
    delay: 'time',
    frequencyPpm: 'number',
    phasePpm: 'number',
    frequency: 'number',
    phase: 'number',
  }),
});

const ADC = byMinor({
  2: columns({
    id: 'id',
    samples: 'time',
    dwell: 'time',
    delay: 'time',
    frequency: 'number',
    phase: 'number',
  }),
  5: columns({
    id: 'id',
    samples: 'time',
    dwell: 'time',
    delay: 'time',
    frequencyPpm: 'number',
    phasePpm: 'number',
    frequency: 'number',
    phase: 'number',
    phaseShape: 'reference',
  }),
});

const DELAYS = columns({ id: 'id', delay: 'time' });

/** Reads every event of a file. */
export function readEvents(context: SeqContext, traits: ShapeTraits): Events {
  const gradients = new Map<number, PulseqGradient>();
  readShapedGradients(context, traits, gradients);
  readTrapezoids(context, gradients);
  return {
    gradients,
    rf: readRf(context, traits),
    adc: readAdc(context),
    delaysSeconds: readDelays(context),
  };
}

function readRf(context: SeqContext, traits: ShapeTraits): ReadonlyMap<number, PulseqEvent> {
  const { version, rasters, shapes, problems } = context;
  const table = RF[version.minor]!;
  const timeColumn = table.names.indexOf('timeShape');
  const delayColumn = table.names.indexOf('delay');
  const read = (rows: Rows): PulseqEvent | undefined => {
    const { numbers } = rows;
    const timeId = timeColumn === -1 ? 0 : numbers[timeColumn]!;
    const magnitude = shapes.get(numbers[2]!);
    const times = timeId > 0 ? shapes.get(timeId) : undefined;
    if (magnitude === undefined || (timeId > 0 && times === undefined)) {
      missingShape(rows, '[RF]', magnitude === undefined ? numbers[2]! : timeId, problems);
      return undefined;
    }
    const cells = timeId === 0 ? magnitude.length : (magnitude.length + 1) / 2;
    const lengthSeconds = rasters.rfSeconds * (times === undefined ? cells : traits.of(times).last);
    const startSeconds = numbers[delayColumn]! * US;
    return {
      startSeconds,
      endSeconds: startSeconds + lengthSeconds,
      ...(rows.atEnd() ? {} : { use: rows.word() }),
    };
  };
  const events = new Map<number, PulseqEvent>();
  return readTable(context, 'RF', table, events, read, version.minor >= 5);
}

function readAdc(context: SeqContext): ReadonlyMap<number, PulseqEvent> {
  const events = new Map<number, PulseqEvent>();
  return readTable(context, 'ADC', ADC[context.version.minor]!, events, ({ numbers }) => {
    const [, samples, dwellNs, delayUs] = numbers;
    const startSeconds = delayUs! * US;
    return { startSeconds, endSeconds: startSeconds + samples! * dwellNs! * NS };
  });
}

function readDelays(context: SeqContext): ReadonlyMap<number, number> {
  const delays = new Map<number, number>();
  return readTable(context, 'DELAYS', DELAYS, delays, ({ numbers }) => numbers[1]! * US);
}
