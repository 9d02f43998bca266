/**
 * One shot of a gradient-echo echo-planar scan: fat saturation, slice selection, readout train,
 * spoiler.
 *
 * @module
 */
import { numberField, type Scan } from '../protocol/scan.js';
import type { BlockBuilder } from './block-builder.js';
import {
  addTrain,
  addTrainPrephasing,
  type EchoPlanarTrain,
  trainCentreS,
  trainDurationS,
  trainPrephasingS,
} from './echo-planar-train.js';
import { fatPulseWithin } from './echo-planar-shot.js';
import {
  addFatSaturation,
  addSelection,
  addShotSpoiler,
  fatSaturationS,
  halfSelectionS,
  rephasingLobe,
  type SelectivePulse,
  shotSpoilerS,
} from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { lobeDurationS } from './lobes.js';

/** Excitation pulse of an echo-planar slice: length and time-bandwidth product. Common practice, no source. */
const PULSE = { durationS: 0.0025, timeBandwidth: 3.6 };

/** A shot laid out, in s from its start. */
export interface SliceShot {
  readonly train: EchoPlanarTrain;
  readonly pulse: SelectivePulse;
  readonly limits: GradientLimits;
  /** 0 where there is no fat saturation. */
  readonly fatPulseS: number;
  readonly excitationCentreS: number;
  readonly trainStartS: number;
  readonly durationS: number;
}

/**
 * Lays a shot out. Its train's start follows from the echo time; fat saturation is what can give way.
 *
 * @param periodS - Time that there is for it, in s.
 * @throws {UnplayableError} The echo time or the period is too short.
 */
export function layOutSliceShot(
  scan: Scan,
  train: EchoPlanarTrain,
  periodS: number,
  limits: GradientLimits,
): SliceShot {
  const pulse = { ...PULSE, thicknessMm: numberField(scan, 'SliceThickness') };
  const echoTimeS = numberField(scan, 'EchoTime');
  const halfPulseS = halfSelectionS(pulse, limits);
  const settledS = Math.max(lobeDurationS(rephasingLobe(pulse, limits)), trainPrephasingS(train));
  const shortestEchoTimeS = halfPulseS + settledS + trainCentreS(train);
  if (echoTimeS < shortestEchoTimeS) {
    throw new UnplayableError(
      'EchoTime',
      `echo time ${formatTime(echoTimeS)} is before the middle of a train of ${train.echoes} echoes ` +
        `${formatTime(train.echoSpacingS)} apart`,
      `at least ${formatTime(shortestEchoTimeS)}`,
      'Check EchoTime, EchoTrainLength, PartialFourier and ParallelReductionFactorInPlane.',
    );
  }
  const toTrainS = echoTimeS - trainCentreS(train);
  const fromPulseToEndS = toTrainS + trainDurationS(train) + shotSpoilerS(limits);
  const fatPulseS = fatPulseWithin(scan, periodS, fromPulseToEndS + halfPulseS, limits);
  const fatS = fatPulseS === 0 ? 0 : fatSaturationS(fatPulseS, limits);
  const excitationCentreS = fatS + halfPulseS;
  return {
    train,
    pulse,
    limits,
    fatPulseS,
    excitationCentreS,
    trainStartS: excitationCentreS + toTrainS,
    durationS: excitationCentreS + fromPulseToEndS,
  };
}

/** Draws a shot from a time on. Returns its end in s. */
export function drawSliceShot(builder: BlockBuilder, shot: SliceShot, startS: number): number {
  const { train, pulse, limits, fatPulseS } = shot;
  if (fatPulseS > 0) addFatSaturation(builder, startS, fatPulseS, limits);
  const selectedS = addSelection(builder, pulse, startS + shot.excitationCentreS, limits);
  builder.add('slice', rephasingLobe(pulse, limits), selectedS);
  addTrainPrephasing(builder, train, selectedS);
  return addShotSpoiler(builder, addTrain(builder, train, startS + shot.trainStartS), limits);
}
