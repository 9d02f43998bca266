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
  trainCentreSeconds,
  trainDurationSeconds,
  trainPrephasingSeconds,
} from './echo-planar-train.js';
import { fatPulseWithin } from './echo-planar-shot.js';
import {
  addFatSaturation,
  addSelection,
  addShotSpoiler,
  fatSaturationSeconds,
  halfSelectionSeconds,
  rephasingLobe,
  type SelectivePulse,
  shotSpoilerSeconds,
} from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { lobeDurationSeconds } from './lobes.js';

/** Excitation pulse of an echo-planar slice: length and time-bandwidth product. Common practice, no source. */
const PULSE = { durationSeconds: 0.0025, timeBandwidth: 3.6 };

/** A shot laid out, in s from its start. */
export interface SliceShot {
  readonly train: EchoPlanarTrain;
  readonly pulse: SelectivePulse;
  readonly limits: GradientLimits;
  /** 0 where there is no fat saturation. */
  readonly fatPulseSeconds: number;
  readonly excitationCentreSeconds: number;
  readonly trainStartSeconds: number;
  readonly durationSeconds: number;
}

/**
 * Lays a shot out. Its train's start follows from the echo time; fat saturation is what can give way.
 *
 * @param periodSeconds - Time that there is for it, in s.
 * @throws {UnplayableError} The echo time or the period is too short.
 */
export function layOutSliceShot(
  scan: Scan,
  train: EchoPlanarTrain,
  periodSeconds: number,
  limits: GradientLimits,
): SliceShot {
  const pulse = { ...PULSE, thicknessMm: numberField(scan, 'SliceThickness') };
  const echoTimeSeconds = numberField(scan, 'EchoTime');
  const halfPulseSeconds = halfSelectionSeconds(pulse, limits);
  const settledSeconds = Math.max(
    lobeDurationSeconds(rephasingLobe(pulse, limits)),
    trainPrephasingSeconds(train),
  );
  const shortestEchoTimeSeconds = halfPulseSeconds + settledSeconds + trainCentreSeconds(train);
  if (echoTimeSeconds < shortestEchoTimeSeconds) {
    throw new UnplayableError(
      'EchoTime',
      `echo time ${formatTime(echoTimeSeconds)} is before the middle of a train of ${train.echoes} echoes ` +
        `${formatTime(train.echoSpacingSeconds)} apart`,
      `at least ${formatTime(shortestEchoTimeSeconds)}`,
      'Check EchoTime, EchoTrainLength, PartialFourier and ParallelReductionFactorInPlane.',
    );
  }
  const toTrainSeconds = echoTimeSeconds - trainCentreSeconds(train);
  const fromPulseToEndSeconds =
    toTrainSeconds + trainDurationSeconds(train) + shotSpoilerSeconds(limits);
  const fatPulseSeconds = fatPulseWithin(
    scan,
    periodSeconds,
    fromPulseToEndSeconds + halfPulseSeconds,
    limits,
  );
  const fatSeconds = fatPulseSeconds === 0 ? 0 : fatSaturationSeconds(fatPulseSeconds, limits);
  const excitationCentreSeconds = fatSeconds + halfPulseSeconds;
  return {
    train,
    pulse,
    limits,
    fatPulseSeconds,
    excitationCentreSeconds,
    trainStartSeconds: excitationCentreSeconds + toTrainSeconds,
    durationSeconds: excitationCentreSeconds + fromPulseToEndSeconds,
  };
}

/** Draws a shot from a time on. Returns its end in s. */
export function drawSliceShot(
  builder: BlockBuilder,
  shot: SliceShot,
  startSeconds: number,
): number {
  const { train, pulse, limits, fatPulseSeconds } = shot;
  if (fatPulseSeconds > 0) addFatSaturation(builder, startSeconds, fatPulseSeconds, limits);
  const selectedSeconds = addSelection(
    builder,
    pulse,
    startSeconds + shot.excitationCentreSeconds,
    limits,
  );
  builder.add('slice', rephasingLobe(pulse, limits), selectedSeconds);
  addTrainPrephasing(builder, train, selectedSeconds);
  return addShotSpoiler(
    builder,
    addTrain(builder, train, startSeconds + shot.trainStartSeconds),
    limits,
  );
}
