/**
 * A train of spin echoes: one excitation, then refocusing pulses a fixed time apart with an encoded
 * readout between each two. The building block of the turbo spin echoes; with one echo it is the
 * plain spin echo.
 *
 * Pulses are slice-selective (2D) or hard (3D: silent). Crushers stand on the read axis, on both sides
 * of the readout, and in a 2D scan also on the slice axis, on both sides of the pulse.
 *
 * Heard: a rattle at the echo rate, as long as the train.
 *
 * @module
 */
import type { FieldName } from '../protocol/fields.js';
import type { BlockBuilder } from './block-builder.js';
import {
  addSelection,
  CRUSHER_AREA,
  halfSelectionSeconds,
  rephasingLobe,
  type SelectivePulse,
} from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import {
  type Lobe,
  lobeArea,
  lobeDurationSeconds,
  lobeWithin,
  plateauLobe,
  shortestLobe,
} from './lobes.js';
import { encodingArea } from './physics.js';

/** A pulse without a gradient: it excites everything, and is silent. */
export interface HardPulse {
  readonly durationSeconds: number;
}

export interface SpinEchoShape {
  readonly excitation: SelectivePulse | HardPulse;
  readonly refocusing: SelectivePulse | HardPulse;
  /** From refocusing pulse to refocusing pulse, in s; twice that from excitation to the first. */
  readonly spacingSeconds: number;
  readonly echoes: number;
  readonly pixelBandwidthHz: number;
  readonly readVoxelMm: number;
  readonly phaseVoxelMm: number;
  /** Undefined for a 2D scan. */
  readonly partitionVoxelMm?: number;
  /** Which field to name when an echo does not fit. */
  readonly spacingField: FieldName;
}

/** A train laid out. */
export interface SpinEchoTrain {
  readonly shape: SpinEchoShape;
  readonly limits: GradientLimits;
  /** From the start of the excitation's gradient to the middle of its pulse, in s. */
  readonly excitationCentreSeconds: number;
  /** From the middle of a refocusing pulse to the end of its gradient, in s. */
  readonly halfRefocusingSeconds: number;
  readonly readLobe: Lobe;
  readonly readCrusher: Lobe;
  /** Zero for hard pulses. */
  readonly sliceCrusher: Lobe;
  /** Largest phase-encoding lobe; lines scale it from -1 to 1. */
  readonly phaseLobe: Lobe;
  /** Largest partition-encoding lobe; undefined for a 2D scan. */
  readonly partitionLobe: Lobe | undefined;
  /** On read and slice between excitation and first refocusing. */
  readonly readPrephaser: Lobe;
  readonly slicePrephaser: Lobe;
  /** From the start of the excitation's gradient until the gradients are free again, in s. */
  readonly durationSeconds: number;
}

/** What changes from train to train is drawn apart, as layers with a gain. */
export interface TrainBuilders {
  readonly whole: BlockBuilder;
  /** Phase encoding at full strength in every echo. */
  readonly line?: BlockBuilder;
  /** Partition encoding at full strength in every echo. */
  readonly partition?: BlockBuilder;
}

/** Area of a crusher beside the readout, as a share of the readout's. Common practice, no source. */
const READ_CRUSHER_SHARE = 0.5;

/** Encoding lobes and crushers take no longer than this where they need not, in s. Common practice, no source. */
const UNHURRIED_SECONDS = 0.0015;

/** @throws {UnplayableError} Pulse, encoding and readout do not fit into the echo spacing. */
export function layOutSpinEchoTrain(shape: SpinEchoShape, limits: GradientLimits): SpinEchoTrain {
  const { spacingSeconds, pixelBandwidthHz, readVoxelMm, partitionVoxelMm } = shape;
  const readLobe = plateauLobe(
    encodingArea(readVoxelMm) * pixelBandwidthHz,
    1 / pixelBandwidthHz,
    limits,
  );
  const halfRefocusingSeconds = halfPulseSeconds(shape.refocusing, limits);
  const excitationCentreSeconds = halfPulseSeconds(shape.excitation, limits);
  const roomSeconds =
    spacingSeconds / 2 - halfRefocusingSeconds - lobeDurationSeconds(readLobe) / 2;
  const areas = {
    phase: encodingArea(shape.phaseVoxelMm) / 2,
    partition: partitionVoxelMm === undefined ? 0 : encodingArea(partitionVoxelMm) / 2,
    readCrusher: READ_CRUSHER_SHARE * encodingArea(readVoxelMm),
    sliceCrusher: 'thicknessMm' in shape.refocusing ? CRUSHER_AREA : 0,
  };
  const phaseLobe = gentleLobe(areas.phase, roomSeconds, limits);
  const partitionLobe = gentleLobe(areas.partition, roomSeconds, limits);
  const readCrusher = gentleLobe(areas.readCrusher, roomSeconds, limits);
  const sliceCrusher = gentleLobe(areas.sliceCrusher, roomSeconds, limits);

  // Before the first refocusing pulse: half of what the read axis gets in an echo, so that every echo
  // forms; on the slice axis the excitation's rephasing and the crusher in one.
  const gapSeconds = spacingSeconds / 2 - excitationCentreSeconds - halfRefocusingSeconds;
  const prephasing = [
    lobeArea(readLobe) / 2 + areas.readCrusher,
    areas.sliceCrusher + rephasingArea(shape.excitation, limits),
  ] as const;
  const readPrephaser = gentleLobe(prephasing[0], gapSeconds, limits);
  const slicePrephaser = gentleLobe(prephasing[1], gapSeconds, limits);
  if (
    phaseLobe === undefined ||
    partitionLobe === undefined ||
    readCrusher === undefined ||
    sliceCrusher === undefined ||
    readPrephaser === undefined ||
    slicePrephaser === undefined ||
    readLobe.amplitude > limits.amplitude
  ) {
    const shortestOf = (...wanted: readonly number[]): number =>
      Math.max(...wanted.map(area => lobeDurationSeconds(shortestLobe(area, limits))));
    const shortestSeconds = Math.max(
      2 * (halfRefocusingSeconds + shortestOf(...Object.values(areas))) +
        lobeDurationSeconds(readLobe),
      2 * (excitationCentreSeconds + halfRefocusingSeconds + shortestOf(...prephasing)),
    );
    throw tooTight(shape, shortestSeconds, limits);
  }
  return {
    shape,
    limits,
    excitationCentreSeconds,
    halfRefocusingSeconds,
    readLobe,
    readCrusher,
    sliceCrusher,
    phaseLobe,
    partitionLobe: partitionVoxelMm === undefined ? undefined : partitionLobe,
    readPrephaser,
    slicePrephaser,
    durationSeconds:
      excitationCentreSeconds +
      shape.echoes * spacingSeconds +
      lobeDurationSeconds(readLobe) / 2 +
      Math.max(...[phaseLobe, partitionLobe, readCrusher, sliceCrusher].map(lobeDurationSeconds)),
  };
}

/**
 * Draws a train whose excitation's gradient starts at a time.
 *
 * @param phaseOf - Share of the phase encoding of each echo, -1 to 1.
 * @returns When the gradients are free again, in s.
 */
export function drawSpinEchoTrain(
  builders: TrainBuilders,
  train: SpinEchoTrain,
  startSeconds: number,
  phaseOf: (echo: number) => number,
): number {
  const { shape, limits, excitationCentreSeconds } = train;
  const { whole } = builders;
  const centreSeconds = startSeconds + excitationCentreSeconds;
  if ('thicknessMm' in shape.excitation)
    addSelection(whole, shape.excitation, centreSeconds, limits);
  const gapCentreSeconds =
    centreSeconds +
    (shape.spacingSeconds / 2 + excitationCentreSeconds - train.halfRefocusingSeconds) / 2;
  whole.addCentred('read', train.readPrephaser, gapCentreSeconds);
  whole.addCentred('slice', train.slicePrephaser, gapCentreSeconds);
  for (let echo = 0; echo < shape.echoes; echo++) {
    const pulseSeconds = centreSeconds + (echo + 0.5) * shape.spacingSeconds;
    drawEcho(builders, train, pulseSeconds, phaseOf(echo), echo === shape.echoes - 1);
  }
  return startSeconds + train.durationSeconds;
}

/** One refocusing pulse and the echo after it. */
function drawEcho(
  { whole, line, partition }: TrainBuilders,
  train: SpinEchoTrain,
  pulseSeconds: number,
  phase: number,
  isLast: boolean,
): void {
  const { shape, limits, readLobe, readCrusher, sliceCrusher, phaseLobe, partitionLobe } = train;
  const readSeconds = pulseSeconds + shape.spacingSeconds / 2 - lobeDurationSeconds(readLobe) / 2;
  const rewindingSeconds = whole.add('read', readLobe, readSeconds);
  whole.add('read', readCrusher, readSeconds - lobeDurationSeconds(readCrusher));
  whole.add('read', readCrusher, rewindingSeconds);
  if ('thicknessMm' in shape.refocusing) {
    addSelection(whole, shape.refocusing, pulseSeconds, limits);
    whole.add('slice', sliceCrusher, pulseSeconds + train.halfRefocusingSeconds);
    const nextSeconds = pulseSeconds + shape.spacingSeconds - train.halfRefocusingSeconds;
    const lastSeconds = nextSeconds - lobeDurationSeconds(sliceCrusher);
    whole.add('slice', sliceCrusher, isLast ? rewindingSeconds : lastSeconds);
  }
  const encodingSeconds = readSeconds - lobeDurationSeconds(phaseLobe);
  whole.add('phase', phaseLobe, encodingSeconds, phase);
  whole.add('phase', phaseLobe, rewindingSeconds, -phase);
  line?.add('phase', phaseLobe, encodingSeconds);
  line?.add('phase', phaseLobe, rewindingSeconds, -1);
  if (partitionLobe === undefined) return;
  partition?.add('slice', partitionLobe, readSeconds - lobeDurationSeconds(partitionLobe));
  partition?.add('slice', partitionLobe, rewindingSeconds, -1);
}

/** The gentlest lobe that takes no longer than it need, or fills the room; undefined where there is none. */
function gentleLobe(area: number, roomSeconds: number, limits: GradientLimits): Lobe | undefined {
  if (roomSeconds <= 0) return undefined;
  return (
    lobeWithin(area, Math.min(roomSeconds, UNHURRIED_SECONDS), limits) ??
    lobeWithin(area, roomSeconds, limits)
  );
}

/** Area that rephases the slice after a pulse; none after a hard one. */
const rephasingArea = (pulse: SelectivePulse | HardPulse, limits: GradientLimits): number =>
  'thicknessMm' in pulse ? lobeArea(rephasingLobe(pulse, limits)) : 0;

const halfPulseSeconds = (pulse: SelectivePulse | HardPulse, limits: GradientLimits): number =>
  'thicknessMm' in pulse ? halfSelectionSeconds(pulse, limits) : pulse.durationSeconds / 2;

function tooTight(
  { spacingField, spacingSeconds, pixelBandwidthHz, readVoxelMm }: SpinEchoShape,
  shortestSeconds: number,
  limits: GradientLimits,
): UnplayableError {
  return new UnplayableError(
    spacingField,
    `${formatTime(spacingSeconds)} from echo to echo has no room for a refocusing pulse, crushers, encoding and ` +
      `a readout of ${formatTime(1 / pixelBandwidthHz)} (${pixelBandwidthHz} Hz per pixel, ${readVoxelMm} mm) ` +
      `with ${limits.amplitude} mT/m and ${limits.slewRate} T/m/s`,
    `at least ${formatTime(shortestSeconds)}`,
    `Check ${spacingField}, PixelBandwidth, AcquisitionVoxelSize and the scanner's gradient limits.`,
  );
}
