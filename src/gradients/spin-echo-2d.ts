/**
 * 2D spin echo: slice after slice one excitation, one refocusing pulse between crushers, one
 * readout; once for every phase-encoding line.
 *
 * Heard: an even tapping at the slice rate, each tap a few clicks.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import type { GradientLimits } from './hardware.js';
import { playSlices } from './multi-slice.js';
import { layOutSpinEchoTrain } from './spin-echo-train.js';
import type { PlayedScan } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Excitation and refocusing pulses: length in s and time-bandwidth product. Common practice, no source. */
const EXCITATION = { durationSeconds: 0.0025, timeBandwidth: 2.7 };
const REFOCUSING = { durationSeconds: 0.003, timeBandwidth: 2.7 };

export function playSpinEcho2d(scan: Scan, scanner: Scanner): PlayedScan {
  return playGentlyIfPossible(scanner, limits => play(scan, limits));
}

function play(scan: Scan, limits: GradientLimits): PlayedScan {
  const [readVoxelMm, phaseVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const thicknessMm = numberField(scan, 'SliceThickness');
  const train = layOutSpinEchoTrain(
    {
      excitation: { ...EXCITATION, thicknessMm },
      refocusing: { ...REFOCUSING, thicknessMm },
      spacingSeconds: numberField(scan, 'EchoTime'),
      echoes: 1,
      pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
      spacingField: 'EchoTime',
    },
    limits,
  );
  const { segments, rhythm } = playSlices(scan, train, limits);
  return { timeline: { segments }, tones: rhythm.slice(0, 1), rhythm };
}
