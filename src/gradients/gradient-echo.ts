/**
 * One gradient-echo excitation: slice (or slab) selection, encoding, one or more readouts, rewinding
 * and spoiling. The building block of every gradient-echo family.
 *
 * @module
 */
import type { FieldName } from '../protocol/fields.js';
import type { Scan } from '../protocol/scan.js';
import type { BlockBuilder } from './block-builder.js';
import {
  addSelection,
  halfSelectionSeconds,
  rephasingLobe,
  type SelectivePulse,
} from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import {
  type Lobe,
  lobeDurationSeconds,
  plateauLobe,
  shortestLobe,
  strongestLobe,
} from './lobes.js';
import { encodingArea } from './physics.js';

export interface GradientEchoShape {
  readonly pulse: SelectivePulse;
  /** From the middle of the pulse to each echo, in s, rising. Readouts alternate in polarity. */
  readonly echoTimesSeconds: readonly number[];
  /** Time from excitation to excitation, in s. */
  readonly repetitionSeconds: number;
  readonly pixelBandwidthHz: number;
  readonly readVoxelMm: number;
  readonly phaseVoxelMm: number;
  /** Undefined for a 2D scan. */
  readonly partitionVoxelMm?: number;
  /** Which field to name when it does not fit. */
  readonly repetitionField: FieldName;
  readonly echoField: FieldName;
}

/** An excitation laid out: lobes, and when they start after the excitation's own start, in s. */
export interface GradientEcho {
  readonly pulse: SelectivePulse;
  readonly limits: GradientLimits;
  readonly pulseCentreSeconds: number;
  readonly encodingStartSeconds: number;
  readonly rephaser: Lobe;
  readonly readPrephaser: Lobe;
  readonly readLobe: Lobe;
  readonly readStartsSeconds: readonly number[];
  /** Largest phase-encoding lobe; lines scale it from -1 to 1. */
  readonly phaseLobe: Lobe;
  /** Largest partition-encoding lobe; undefined for a 2D scan. */
  readonly partitionLobe: Lobe | undefined;
  readonly rewindingStartSeconds: number;
  readonly spoiler: Lobe;
}

/** Earliest part of a readout at which its echo may lie: a strongly asymmetric echo. Common practice, no source. */
const EARLIEST_ECHO = 0.2;

/** @throws {UnplayableError} The excitation does not fit into its repetition time or echo times. */
export function layOutGradientEcho(shape: GradientEchoShape, limits: GradientLimits): GradientEcho {
  const { pulse, echoTimesSeconds, pixelBandwidthHz, repetitionSeconds } = shape;
  const readoutSeconds = 1 / pixelBandwidthHz;
  const readLobe = plateauLobe(
    encodingArea(shape.readVoxelMm) * pixelBandwidthHz,
    readoutSeconds,
    limits,
  );
  const phaseLobe = shortestLobe(encodingArea(shape.phaseVoxelMm) / 2, limits);
  const partitionLobe =
    shape.partitionVoxelMm === undefined
      ? undefined
      : shortestLobe(encodingArea(shape.partitionVoxelMm) / 2, limits);
  const rephaser = rephasingLobe(pulse, limits);
  const pulseCentreSeconds = halfSelectionSeconds(pulse, limits);
  const encodingStartSeconds = 2 * pulseCentreSeconds;

  const firstEchoSeconds = pulseCentreSeconds + echoTimesSeconds[0]!;
  const symmetricStartSeconds = firstEchoSeconds - readoutSeconds / 2 - readLobe.rampSeconds;
  const encodingSeconds = Math.max(
    lobeDurationSeconds(phaseLobe),
    slicePartSeconds(rephaser, partitionLobe),
    lobeDurationSeconds(shortestLobe(prephasingArea(readLobe, 0.5), limits)),
  );
  const firstReadSeconds = Math.max(symmetricStartSeconds, encodingStartSeconds + encodingSeconds);
  const echoFraction =
    (firstEchoSeconds - firstReadSeconds - readLobe.rampSeconds) / readoutSeconds;
  if (echoFraction < EARLIEST_ECHO || !(readLobe.amplitude <= limits.amplitude)) {
    throw tooTight(shape, shape.echoField, echoTimesSeconds[0]!, 'echo time', {
      neededSeconds:
        encodingStartSeconds +
        encodingSeconds -
        pulseCentreSeconds +
        readLobe.rampSeconds +
        EARLIEST_ECHO * readoutSeconds,
    });
  }

  const readStartsSeconds = echoTimesSeconds.map(
    echoTimeSeconds => firstReadSeconds + (echoTimeSeconds - echoTimesSeconds[0]!),
  );
  readStartsSeconds.slice(1).forEach((startSeconds, i) => {
    if (startSeconds < readStartsSeconds[i]! + lobeDurationSeconds(readLobe) - 1e-9) {
      throw tooTight(
        shape,
        shape.echoField,
        startSeconds - readStartsSeconds[i]!,
        'echo distance',
        {
          neededSeconds: lobeDurationSeconds(readLobe),
        },
      );
    }
  });
  const rewindingStartSeconds = readStartsSeconds.at(-1)! + lobeDurationSeconds(readLobe);
  const roomSeconds = repetitionSeconds - rewindingStartSeconds;
  const rewindingSeconds = Math.max(
    lobeDurationSeconds(phaseLobe),
    partitionLobe === undefined ? 0 : lobeDurationSeconds(partitionLobe),
  );
  if (roomSeconds < rewindingSeconds) {
    throw tooTight(shape, shape.repetitionField, repetitionSeconds, 'time between excitations', {
      neededSeconds: rewindingStartSeconds + rewindingSeconds,
    });
  }
  return {
    pulse,
    limits,
    pulseCentreSeconds,
    encodingStartSeconds,
    rephaser,
    readPrephaser: shortestLobe(prephasingArea(readLobe, echoFraction), limits),
    readLobe,
    readStartsSeconds,
    phaseLobe,
    partitionLobe,
    rewindingStartSeconds,
    spoiler: strongestLobe(2 * encodingArea(shape.readVoxelMm), roomSeconds, limits),
  };
}

/** Where an excitation lies in k-space: shares of the largest phase and partition encoding, -1 to 1. */
export interface EncodingStep {
  readonly phase: number;
  readonly partition: number;
}

/** Draws one excitation from a time on. */
export function drawGradientEcho(
  builder: BlockBuilder,
  echo: GradientEcho,
  startSeconds: number,
  step: EncodingStep,
): void {
  drawSlice(builder, echo, startSeconds, step.partition);
  drawReadouts(builder, echo, startSeconds);
  drawPhaseEncoding(builder, echo, startSeconds, step.phase);
}

/** Draws only what lies on the slice axis. */
export function drawSlice(
  builder: BlockBuilder,
  echo: GradientEcho,
  startSeconds: number,
  partition: number,
): void {
  const rewindingSeconds = startSeconds + echo.rewindingStartSeconds;
  addSelection(builder, echo.pulse, startSeconds + echo.pulseCentreSeconds, echo.limits);
  const rephasedSeconds = builder.add(
    'slice',
    echo.rephaser,
    startSeconds + echo.encodingStartSeconds,
  );
  if (echo.partitionLobe === undefined) {
    builder.add('slice', echo.spoiler, rewindingSeconds);
  } else {
    builder.add('slice', echo.partitionLobe, rephasedSeconds, partition);
    builder.add('slice', echo.partitionLobe, rewindingSeconds, -partition);
  }
}

/** Draws only the readouts with prephasing and spoiling, turned from the read axis to the phase axis by an angle in rad. */
export function drawReadouts(
  builder: BlockBuilder,
  echo: GradientEcho,
  startSeconds: number,
  angleRad = 0,
): void {
  const add = (lobe: Lobe, atSeconds: number, sign: number): void => {
    builder.add('read', lobe, startSeconds + atSeconds, sign * Math.cos(angleRad));
    builder.add('phase', lobe, startSeconds + atSeconds, sign * Math.sin(angleRad));
  };
  const sign = (readout: number): number => (readout % 2 === 0 ? 1 : -1);
  add(echo.readPrephaser, echo.encodingStartSeconds, 1);
  echo.readStartsSeconds.forEach((readSeconds, i) => {
    add(echo.readLobe, readSeconds, sign(i));
  });
  add(echo.spoiler, echo.rewindingStartSeconds, sign(echo.readStartsSeconds.length - 1));
}

/** Draws only the phase encoding of an excitation and its rewinding. */
export function drawPhaseEncoding(
  builder: BlockBuilder,
  echo: GradientEcho,
  startSeconds: number,
  phase: number,
): void {
  builder.add('phase', echo.phaseLobe, startSeconds + echo.encodingStartSeconds, phase);
  builder.add('phase', echo.phaseLobe, startSeconds + echo.rewindingStartSeconds, -phase);
}

/** The field that holds the echo times of a scan as they were given. */
export const echoField = (scan: Scan): FieldName =>
  scan.fields.EchoTimes?.origin === 'given' ? 'EchoTimes' : 'EchoTime';

/** Encoding steps from -1 to 1, evenly: the shares of `count` lines played in order. */
export const encodingShare = (index: number, count: number): number =>
  count === 1 ? 0 : (2 * index) / (count - 1) - 1;

/** Area that brings the echo to a fraction of the readout. */
const prephasingArea = ({ amplitude, rampSeconds, flatSeconds }: Lobe, fraction: number): number =>
  -amplitude * (rampSeconds / 2 + fraction * flatSeconds);

const slicePartSeconds = (rephaser: Lobe, partition: Lobe | undefined): number =>
  lobeDurationSeconds(rephaser) + (partition === undefined ? 0 : lobeDurationSeconds(partition));

function tooTight(
  shape: GradientEchoShape,
  field: FieldName,
  actualSeconds: number,
  what: string,
  { neededSeconds }: { readonly neededSeconds: number },
): UnplayableError {
  return new UnplayableError(
    field,
    `${what} ${formatTime(actualSeconds)} has no room for pulse, encoding and a readout of ` +
      `${formatTime(1 / shape.pixelBandwidthHz)} (${shape.pixelBandwidthHz} Hz per pixel, ${shape.readVoxelMm} mm)`,
    `at least ${formatTime(neededSeconds)}`,
    `Check ${field}, PixelBandwidth, AcquisitionVoxelSize and the scanner's gradient limits.`,
  );
}
