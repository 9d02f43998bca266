/**
 * The spin-echo echo-planar shot: excitation, refocusing between crushers at half the echo time,
 * readout train with its k-space centre at the echo time, spoiler. The free time on both sides of
 * the refocusing pulse is where diffusion lobes go.
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
  readonly refocusingCentreS: number;
  readonly trainStartS: number;
  /** Free for diffusion lobes: before and after refocusing. */
  readonly before: Window;
  readonly after: Window;
}

/**
 * Lays a shot out.
 *
 * @throws {UnplayableError} Echo time or shot period are too short for what must happen in them.
 */
export function layOutSpinEcho(
  scan: Scan,
  train: EchoPlanarTrain,
  periodS: number,
  limits: GradientLimits,
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

  const firstHalfS = halfExcitationS + settlingS + halfRefocusingS;
  const secondHalfS = halfRefocusingS + trainCentreS(train);
  const shortestS = 2 * Math.max(firstHalfS, secondHalfS);
  if (echoTimeS < shortestS) {
    throw new UnplayableError(
      'EchoTime',
      `echo time ${formatTime(echoTimeS)} is too short for a spin echo with a train of ${train.echoes} echoes ` +
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
  const refocusingCentreS = excitationCentreS + echoTimeS / 2;
  const trainStartS = excitationCentreS + echoTimeS - trainCentreS(train);
  return {
    train,
    fatPulseS,
    excitationCentreS,
    refocusingCentreS,
    trainStartS,
    before: {
      startS: excitationCentreS + halfExcitationS + settlingS,
      endS: refocusingCentreS - halfRefocusingS,
    },
    after: { startS: refocusingCentreS + halfRefocusingS, endS: trainStartS },
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
  addTrainPrephasing(builder, shot.train, selectedS, -1);
  addRefocusing(builder, refocusing, shot.refocusingCentreS, limits);
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
