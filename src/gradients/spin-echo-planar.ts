/**
 * The spin-echo echo-planar shot: excitation, refocusing between crushers, readout train with its
 * k-space centre at the echo time, spoiler. One refocusing pulse lies at half the echo time; two lie
 * half the echo time apart, so placed that the first and the last wait are equally long. The free
 * time around the refocusing pulses is where diffusion lobes go.
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
  addRefocusing,
  addSelection,
  addShotSpoiler,
  crusherDurationSeconds,
  fatSaturationSeconds,
  halfSelectionSeconds,
  rephasingLobe,
  shotSpoilerSeconds,
} from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { lobeDurationSeconds } from './lobes.js';

/** Excitation and refocusing pulses: length in s and time-bandwidth product. Common practice, no source. */
const EXCITATION = { durationSeconds: 0.0025, timeBandwidth: 3.6 };
const REFOCUSING = { durationSeconds: 0.00256, timeBandwidth: 3.6 };

/** Refocusing selects a thicker slice, so that neighbours' profiles do not bite into it. Common practice, no source. */
const REFOCUSING_THICKNESS = 1.3;

/** A stretch of time in s. */
export interface Window {
  readonly startSeconds: number;
  readonly endSeconds: number;
}

/** When things happen within a shot, in s from its start. */
export interface SpinEchoShot {
  readonly train: EchoPlanarTrain;
  /** 0 where there is no fat saturation. */
  readonly fatPulseSeconds: number;
  readonly excitationCentreSeconds: number;
  readonly refocusingCentresSeconds: readonly number[];
  readonly trainStartSeconds: number;
  /** Free for diffusion lobes: before, between and after the refocusing pulses. */
  readonly windows: readonly Window[];
}

/**
 * Lays a shot out.
 *
 * @param refocusings - How many refocusing pulses it has.
 * @throws {UnplayableError} Echo time or shot period are too short for what must happen in them.
 */
export function layOutSpinEcho(
  scan: Scan,
  train: EchoPlanarTrain,
  periodSeconds: number,
  limits: GradientLimits,
  refocusings: 1 | 2 = 1,
): SpinEchoShot {
  const echoTimeSeconds = numberField(scan, 'EchoTime');
  const { excitation, refocusing } = pulsesOf(scan);
  const halfExcitationSeconds = halfSelectionSeconds(excitation, limits);
  const halfRefocusingSeconds =
    halfSelectionSeconds(refocusing, limits) + crusherDurationSeconds(limits);
  // The train is prephased right after excitation, together with the slice's rephasing: refocusing
  // turns the sign, and the second half of the echo time is the one that is short.
  const settlingSeconds = Math.max(
    lobeDurationSeconds(rephasingLobe(excitation, limits)),
    trainPrephasingSeconds(train),
  );

  const settledSeconds = halfExcitationSeconds + settlingSeconds;
  const shortestSeconds =
    refocusings === 1
      ? 2 * (halfRefocusingSeconds + Math.max(settledSeconds, trainCentreSeconds(train)))
      : 2 * (settledSeconds + 2 * halfRefocusingSeconds + trainCentreSeconds(train));
  if (echoTimeSeconds < shortestSeconds) {
    throw new UnplayableError(
      'EchoTime',
      `echo time ${formatTime(echoTimeSeconds)} is too short for ${refocusings === 1 ? 'a spin echo' : 'two spin echoes'} with a train of ${train.echoes} echoes ` +
        `${formatTime(train.echoSpacingSeconds)} apart, the middle of k-space at echo ${train.centreEcho + 1}`,
      `at least ${formatTime(shortestSeconds)}`,
      'Check EchoTime, EchoTrainLength, PartialFourier and ParallelReductionFactorInPlane.',
    );
  }

  const fromExcitationSeconds =
    echoTimeSeconds -
    trainCentreSeconds(train) +
    trainDurationSeconds(train) +
    shotSpoilerSeconds(limits);
  const fatPulseSeconds = fatPulseWithin(
    scan,
    periodSeconds,
    fromExcitationSeconds + halfExcitationSeconds,
    limits,
  );
  const fatSeconds = fatPulseSeconds === 0 ? 0 : fatSaturationSeconds(fatPulseSeconds, limits);
  const excitationCentreSeconds = fatSeconds + halfExcitationSeconds;
  const trainStartSeconds = excitationCentreSeconds + echoTimeSeconds - trainCentreSeconds(train);
  const firstSeconds = (echoTimeSeconds / 2 - trainCentreSeconds(train) + settledSeconds) / 2;
  const refocusingCentresSeconds = (
    refocusings === 1 ? [echoTimeSeconds / 2] : [firstSeconds, firstSeconds + echoTimeSeconds / 2]
  ).map(timeSeconds => excitationCentreSeconds + timeSeconds);
  const starts = [
    excitationCentreSeconds + settledSeconds,
    ...refocusingCentresSeconds.map(timeSeconds => timeSeconds + halfRefocusingSeconds),
  ];
  const ends = [
    ...refocusingCentresSeconds.map(timeSeconds => timeSeconds - halfRefocusingSeconds),
    trainStartSeconds,
  ];
  return {
    train,
    fatPulseSeconds,
    excitationCentreSeconds,
    refocusingCentresSeconds,
    trainStartSeconds,
    windows: starts.map((startSeconds, i) => ({ startSeconds, endSeconds: ends[i]! })),
  };
}

/** Draws everything of a shot but the diffusion lobes. */
export function drawSpinEcho(
  builder: BlockBuilder,
  scan: Scan,
  shot: SpinEchoShot,
  limits: GradientLimits,
): void {
  const { excitation, refocusing } = pulsesOf(scan);
  if (shot.fatPulseSeconds > 0) addFatSaturation(builder, 0, shot.fatPulseSeconds, limits);
  const selectedSeconds = addSelection(builder, excitation, shot.excitationCentreSeconds, limits);
  builder.add('slice', rephasingLobe(excitation, limits), selectedSeconds);
  // Every refocusing pulse turns the sign of what was prephased.
  const sign = shot.refocusingCentresSeconds.length % 2 === 0 ? 1 : -1;
  addTrainPrephasing(builder, shot.train, selectedSeconds, sign);
  for (const centreSeconds of shot.refocusingCentresSeconds) {
    addRefocusing(builder, refocusing, centreSeconds, limits);
  }
  addShotSpoiler(builder, addTrain(builder, shot.train, shot.trainStartSeconds), limits);
}

function pulsesOf(scan: Scan): {
  readonly excitation: typeof EXCITATION & { readonly thicknessMm: number };
  readonly refocusing: typeof REFOCUSING & { readonly thicknessMm: number };
} {
  const thicknessMm = numberField(scan, 'SliceThickness');
  return {
    excitation: { ...EXCITATION, thicknessMm },
    refocusing: { ...REFOCUSING, thicknessMm: thicknessMm * REFOCUSING_THICKNESS },
  };
}
