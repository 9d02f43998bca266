/**
 * Gradient-echo echo planar: fat saturation, slice selection, readout train, spoiler; one shot for
 * every slice (or group of slices, with multiband), over and over.
 *
 * Heard: beeps at the shot rate, each a tone at 1 / (2 x echo spacing) and its odd harmonics.
 *
 * @module
 */
import type { Scan, Scanner } from '../protocol/scan.js';
import { numberField } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import {
  addTrain,
  addTrainPrephasing,
  type EchoPlanarTrain,
  trainCentreS,
  trainDurationS,
  trainPrephasingS,
} from './echo-planar-train.js';
import { playSeries, seriesRhythm, seriesTiming } from './echo-planar-series.js';
import { echoPlanarTones, fatPulseWithin, readTrain } from './echo-planar-shot.js';
import {
  addFatSaturation,
  addSelection,
  addShotSpoiler,
  halfSelectionS,
  rephasingLobe,
  shotSpoilerS,
} from './excitation.js';
import { scanGeometry } from './geometry.js';
import { formatTime, fullLimits, type GradientLimits, UnplayableError } from './hardware.js';
import { lobeDurationS } from './lobes.js';
import type { PlayedScan } from './timeline.js';

/** Excitation pulse of an echo-planar slice: length and time-bandwidth product. Common practice, no source. */
const PULSE = { durationS: 0.0025, timeBandwidth: 3.6 };

export function playEchoPlanar(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const train = readTrain(scan, limits);
  const timing = seriesTiming(scan);
  const builder = new BlockBuilder();
  drawShot(builder, scan, train, timing.periodS, limits);
  return {
    timeline: playSeries(timing, [{ block: builder.build(scanGeometry(scan)), gain: 1 }]),
    tones: echoPlanarTones(train),
    rhythm: seriesRhythm(scan, timing),
  };
}

function drawShot(
  builder: BlockBuilder,
  scan: Scan,
  train: EchoPlanarTrain,
  periodS: number,
  limits: GradientLimits,
): void {
  const pulse = { ...PULSE, thicknessMm: numberField(scan, 'SliceThickness') };
  const echoTimeS = numberField(scan, 'EchoTime');
  const rephaser = rephasingLobe(pulse, limits);
  const halfPulseS = halfSelectionS(pulse, limits);

  const settledS = Math.max(lobeDurationS(rephaser), trainPrephasingS(train));
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

  // The train's start follows from the echo time; fat saturation is what can give way.
  const fromPulseToEndS =
    echoTimeS - trainCentreS(train) + trainDurationS(train) + shotSpoilerS(limits);
  const fatPulseS = fatPulseWithin(scan, periodS, fromPulseToEndS + halfPulseS, limits);
  const pulseStartS = fatPulseS > 0 ? addFatSaturation(builder, 0, fatPulseS, limits) : 0;
  const pulseCentreS = pulseStartS + halfPulseS;
  const selectionEndS = addSelection(builder, pulse, pulseCentreS, limits);
  builder.add('slice', rephaser, selectionEndS);
  addTrainPrephasing(builder, train, selectionEndS);
  const trainStartS = pulseCentreS + echoTimeS - trainCentreS(train);
  addShotSpoiler(builder, addTrain(builder, train, trainStartS), limits);
}
