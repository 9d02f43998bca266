/**
 * One gradient-echo excitation: slice (or slab) selection, encoding, one or more readouts, rewinding
 * and spoiling. The building block of every gradient-echo family.
 *
 * @module
 */
import type { FieldName } from '../protocol/fields.js';
import type { Scan } from '../protocol/scan.js';
import type { BlockBuilder } from './block-builder.js';
import { addSelection, halfSelectionS, rephasingLobe, type SelectivePulse } from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { type Lobe, lobeDurationS, plateauLobe, shortestLobe, strongestLobe } from './lobes.js';
import { encodingArea } from './physics.js';

export interface GradientEchoShape {
  readonly pulse: SelectivePulse;
  /** From the middle of the pulse to each echo, in s, rising. Readouts alternate in polarity. */
  readonly echoTimesS: readonly number[];
  /** Time from excitation to excitation, in s. */
  readonly repetitionS: number;
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
  readonly pulseCentreS: number;
  readonly encodingStartS: number;
  readonly rephaser: Lobe;
  readonly readPrephaser: Lobe;
  readonly readLobe: Lobe;
  readonly readStartsS: readonly number[];
  /** Largest phase-encoding lobe; lines scale it from -1 to 1. */
  readonly phaseLobe: Lobe;
  /** Largest partition-encoding lobe; undefined for a 2D scan. */
  readonly partitionLobe: Lobe | undefined;
  readonly rewindingStartS: number;
  readonly spoiler: Lobe;
}

/** Earliest part of a readout at which its echo may lie: a strongly asymmetric echo. Common practice, no source. */
const EARLIEST_ECHO = 0.2;

/** @throws {UnplayableError} The excitation does not fit into its repetition time or echo times. */
export function layOutGradientEcho(shape: GradientEchoShape, limits: GradientLimits): GradientEcho {
  const { pulse, echoTimesS, pixelBandwidthHz, repetitionS } = shape;
  const readoutS = 1 / pixelBandwidthHz;
  const readLobe = plateauLobe(
    encodingArea(shape.readVoxelMm) * pixelBandwidthHz,
    readoutS,
    limits,
  );
  const phaseLobe = shortestLobe(encodingArea(shape.phaseVoxelMm) / 2, limits);
  const partitionLobe =
    shape.partitionVoxelMm === undefined
      ? undefined
      : shortestLobe(encodingArea(shape.partitionVoxelMm) / 2, limits);
  const rephaser = rephasingLobe(pulse, limits);
  const pulseCentreS = halfSelectionS(pulse, limits);
  const encodingStartS = 2 * pulseCentreS;

  const firstEchoS = pulseCentreS + echoTimesS[0]!;
  const symmetricStartS = firstEchoS - readoutS / 2 - readLobe.rampS;
  const encodingS = Math.max(
    lobeDurationS(phaseLobe),
    slicePartS(rephaser, partitionLobe),
    lobeDurationS(shortestLobe(prephasingArea(readLobe, 0.5), limits)),
  );
  const firstReadS = Math.max(symmetricStartS, encodingStartS + encodingS);
  const echoFraction = (firstEchoS - firstReadS - readLobe.rampS) / readoutS;
  if (echoFraction < EARLIEST_ECHO || !(readLobe.amplitude <= limits.amplitude)) {
    throw tooTight(shape, shape.echoField, echoTimesS[0]!, 'echo time', {
      neededS:
        encodingStartS + encodingS - pulseCentreS + readLobe.rampS + EARLIEST_ECHO * readoutS,
    });
  }

  const readStartsS = echoTimesS.map(echoTimeS => firstReadS + (echoTimeS - echoTimesS[0]!));
  readStartsS.slice(1).forEach((startS, i) => {
    if (startS < readStartsS[i]! + lobeDurationS(readLobe) - 1e-9) {
      throw tooTight(shape, shape.echoField, startS - readStartsS[i]!, 'echo distance', {
        neededS: lobeDurationS(readLobe),
      });
    }
  });
  const rewindingStartS = readStartsS.at(-1)! + lobeDurationS(readLobe);
  const roomS = repetitionS - rewindingStartS;
  const rewindingS = Math.max(
    lobeDurationS(phaseLobe),
    partitionLobe === undefined ? 0 : lobeDurationS(partitionLobe),
  );
  if (roomS < rewindingS) {
    throw tooTight(shape, shape.repetitionField, repetitionS, 'time between excitations', {
      neededS: rewindingStartS + rewindingS,
    });
  }
  return {
    pulse,
    limits,
    pulseCentreS,
    encodingStartS,
    rephaser,
    readPrephaser: shortestLobe(prephasingArea(readLobe, echoFraction), limits),
    readLobe,
    readStartsS,
    phaseLobe,
    partitionLobe,
    rewindingStartS,
    spoiler: strongestLobe(2 * encodingArea(shape.readVoxelMm), roomS, limits),
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
  startS: number,
  step: EncodingStep,
): void {
  drawSlice(builder, echo, startS, step.partition);
  drawReadouts(builder, echo, startS);
  drawPhaseEncoding(builder, echo, startS, step.phase);
}

/** Draws only what lies on the slice axis. */
export function drawSlice(
  builder: BlockBuilder,
  echo: GradientEcho,
  startS: number,
  partition: number,
): void {
  const rewindingS = startS + echo.rewindingStartS;
  addSelection(builder, echo.pulse, startS + echo.pulseCentreS, echo.limits);
  const rephasedS = builder.add('slice', echo.rephaser, startS + echo.encodingStartS);
  if (echo.partitionLobe === undefined) {
    builder.add('slice', echo.spoiler, rewindingS);
  } else {
    builder.add('slice', echo.partitionLobe, rephasedS, partition);
    builder.add('slice', echo.partitionLobe, rewindingS, -partition);
  }
}

/** Draws only the readouts with prephasing and spoiling, turned from the read axis to the phase axis by an angle in rad. */
export function drawReadouts(
  builder: BlockBuilder,
  echo: GradientEcho,
  startS: number,
  angleRad = 0,
): void {
  const add = (lobe: Lobe, atS: number, sign: number): void => {
    builder.add('read', lobe, startS + atS, sign * Math.cos(angleRad));
    builder.add('phase', lobe, startS + atS, sign * Math.sin(angleRad));
  };
  const sign = (readout: number): number => (readout % 2 === 0 ? 1 : -1);
  add(echo.readPrephaser, echo.encodingStartS, 1);
  echo.readStartsS.forEach((readS, i) => {
    add(echo.readLobe, readS, sign(i));
  });
  add(echo.spoiler, echo.rewindingStartS, sign(echo.readStartsS.length - 1));
}

/** Draws only the phase encoding of an excitation and its rewinding. */
export function drawPhaseEncoding(
  builder: BlockBuilder,
  echo: GradientEcho,
  startS: number,
  phase: number,
): void {
  builder.add('phase', echo.phaseLobe, startS + echo.encodingStartS, phase);
  builder.add('phase', echo.phaseLobe, startS + echo.rewindingStartS, -phase);
}

/** The field that holds the echo times of a scan as they were given. */
export const echoField = (scan: Scan): FieldName =>
  scan.fields.EchoTimes?.origin === 'given' ? 'EchoTimes' : 'EchoTime';

/** Encoding steps from -1 to 1, evenly: the shares of `count` lines played in order. */
export const encodingShare = (index: number, count: number): number =>
  count === 1 ? 0 : (2 * index) / (count - 1) - 1;

/** Area that brings the echo to a fraction of the readout. */
const prephasingArea = ({ amplitude, rampS, flatS }: Lobe, fraction: number): number =>
  -amplitude * (rampS / 2 + fraction * flatS);

const slicePartS = (rephaser: Lobe, partition: Lobe | undefined): number =>
  lobeDurationS(rephaser) + (partition === undefined ? 0 : lobeDurationS(partition));

function tooTight(
  shape: GradientEchoShape,
  field: FieldName,
  actualS: number,
  what: string,
  { neededS }: { readonly neededS: number },
): UnplayableError {
  return new UnplayableError(
    field,
    `${what} ${formatTime(actualS)} has no room for pulse, encoding and a readout of ` +
      `${formatTime(1 / shape.pixelBandwidthHz)} (${shape.pixelBandwidthHz} Hz per pixel, ${shape.readVoxelMm} mm)`,
    `at least ${formatTime(neededS)}`,
    `Check ${field}, PixelBandwidth, AcquisitionVoxelSize and the scanner's gradient limits.`,
  );
}
