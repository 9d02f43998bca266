/**
 * 2D turbo spin echo: slice after slice, a short train of refocusing pulses between crushers with a
 * readout after each. With an inversion time (FLAIR) the inversions of a group of slices come first;
 * as a single shot one long train gives a whole slice, and every slice is a group of its own.
 *
 * Heard: short rattles at the echo rate, a few every second.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { playSlices } from './multi-slice.js';
import { layOutSpinEchoTrain } from './spin-echo-train.js';
import type { PlayedScan } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Excitation and refocusing pulses: length in s and time-bandwidth product (an open sequence library's values). */
const USUAL_PULSES = {
  excitation: { durationSeconds: 0.0025, timeBandwidth: 4 },
  refocusing: { durationSeconds: 0.002, timeBandwidth: 4 },
};

/** Shorter ones, for echo spacings that the usual ones do not fit into. Common practice, no source. */
const QUICK_PULSES = {
  excitation: { durationSeconds: 0.0015, timeBandwidth: 2.7 },
  refocusing: { durationSeconds: 0.0012, timeBandwidth: 2.7 },
};

export function playTurboSpinEcho2d(scan: Scan, scanner: Scanner): PlayedScan {
  try {
    return playGentlyIfPossible(scanner, limits => play(scan, USUAL_PULSES, limits));
  } catch (error) {
    if (!(error instanceof UnplayableError)) throw error;
    return playGentlyIfPossible(scanner, limits => play(scan, QUICK_PULSES, limits));
  }
}

function play(scan: Scan, pulses: typeof USUAL_PULSES, limits: GradientLimits): PlayedScan {
  const [readVoxelMm, phaseVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const thicknessMm = numberField(scan, 'SliceThickness');
  const spacingSeconds = numberField(scan, 'EchoSpacing');
  const train = layOutSpinEchoTrain(
    {
      excitation: { ...pulses.excitation, thicknessMm },
      refocusing: { ...pulses.refocusing, thicknessMm },
      spacingSeconds,
      echoes: numberField(scan, 'EchoTrainLength'),
      pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
      spacingField: 'EchoSpacing',
    },
    limits,
  );
  const echoRate = { hertz: 1 / spacingSeconds, cause: `echoes, 1/${formatTime(spacingSeconds)}` };
  const { segments, rhythm, ...comb } = playSlices(scan, train, limits);
  return { timeline: { segments }, tones: [echoRate], rhythm: [echoRate, ...rhythm], ...comb };
}
