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
  trainCentreS,
  trainDurationS,
  trainPrephasingS,
} from './echo-planar-train.js';
import { fatPulseWithin } from './echo-planar-shot.js';
import {
  addFatSaturation,
  addRefocusing,
  addSelection,
  addShotSpoiler,
  crusherDurationS,
  fatSaturationS,
  halfSelectionS,
  rephasingLobe,
  shotSpoilerS,
} from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { lobeDurationS } from './lobes.js';

/** Excitation and refocusing pulses: length in s and time-bandwidth product. Common practice, no source. */
const EXCITATION = { durationS: 0.0025, timeBandwidth: 3.6 };
const REFOCUSING = { durationS: 0.00256, timeBandwidth: 3.6 };

/** Refocusing selects a thicker slice, so that neighbours' profiles do not bite into it. Common practice, no source. */
const REFOCUSING_THICKNESS = 1.3;

/** A stretch of time in s. */
export interface Window {
  readonly startS: number;
  readonly endS: number;
}

/** When things happen within a shot, in s from its start. */
export interface SpinEchoShot {
  readonly train: EchoPlanarTrain;
  /** 0 where there is no fat saturation. */
  readonly fatPulseS: number;
  readonly excitationCentreS: number;
  readonly refocusingCentresS: readonly number[];
  readonly trainStartS: number;
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
  periodS: number,
  limits: GradientLimits,
  refocusings: 1 | 2 = 1,
): SpinEchoShot {
  const echoTimeS = numberField(scan, 'EchoTime');
  const { excitation, refocusing } = pulsesOf(scan);
  const halfExcitationS = halfSelectionS(excitation, limits);
  const halfRefocusingS = halfSelectionS(refocusing, limits) + crusherDurationS(limits);
  // The train is prephased right after excitation, together with the slice's rephasing: refocusing
  // turns the sign, and the second half of the echo time is the one that is short.
  const settlingS = Math.max(
    lobeDurationS(rephasingLobe(excitation, limits)),
    trainPrephasingS(train),
  );

  const settledS = halfExcitationS + settlingS;
  const shortestS =
    refocusings === 1
      ? 2 * (halfRefocusingS + Math.max(settledS, trainCentreS(train)))
      : 2 * (settledS + 2 * halfRefocusingS + trainCentreS(train));
  if (echoTimeS < shortestS) {
    throw new UnplayableError(
      'EchoTime',
      `echo time ${formatTime(echoTimeS)} is too short for ${refocusings === 1 ? 'a spin echo' : 'two spin echoes'} with a train of ${train.echoes} echoes ` +
        `${formatTime(train.echoSpacingS)} apart, the middle of k-space at echo ${train.centreEcho + 1}`,
      `at least ${formatTime(shortestS)}`,
      'Check EchoTime, EchoTrainLength, PartialFourier and ParallelReductionFactorInPlane.',
    );
  }

  const fromExcitationS =
    echoTimeS - trainCentreS(train) + trainDurationS(train) + shotSpoilerS(limits);
  const fatPulseS = fatPulseWithin(scan, periodS, fromExcitationS + halfExcitationS, limits);
  const fatS = fatPulseS === 0 ? 0 : fatSaturationS(fatPulseS, limits);
  const excitationCentreS = fatS + halfExcitationS;
  const trainStartS = excitationCentreS + echoTimeS - trainCentreS(train);
  const firstS = (echoTimeS / 2 - trainCentreS(train) + settledS) / 2;
  const refocusingCentresS = (
    refocusings === 1 ? [echoTimeS / 2] : [firstS, firstS + echoTimeS / 2]
  ).map(timeS => excitationCentreS + timeS);
  const starts = [
    excitationCentreS + settledS,
    ...refocusingCentresS.map(timeS => timeS + halfRefocusingS),
  ];
  const ends = [...refocusingCentresS.map(timeS => timeS - halfRefocusingS), trainStartS];
  return {
    train,
    fatPulseS,
    excitationCentreS,
    refocusingCentresS,
    trainStartS,
    windows: starts.map((startS, i) => ({ startS, endS: ends[i]! })),
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
  if (shot.fatPulseS > 0) addFatSaturation(builder, 0, shot.fatPulseS, limits);
  const selectedS = addSelection(builder, excitation, shot.excitationCentreS, limits);
  builder.add('slice', rephasingLobe(excitation, limits), selectedS);
  // Every refocusing pulse turns the sign of what was prephased.
  const sign = shot.refocusingCentresS.length % 2 === 0 ? 1 : -1;
  addTrainPrephasing(builder, shot.train, selectedS, sign);
  for (const centreS of shot.refocusingCentresS) {
    addRefocusing(builder, refocusing, centreS, limits);
  }
  addShotSpoiler(builder, addTrain(builder, shot.train, shot.trainStartS), limits);
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
