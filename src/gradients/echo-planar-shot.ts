/**
 * What all echo-planar families share: their shot period, their train, and the lines that their
 * sound must show.
 *
 * @module
 */
import { booleanField, numberField, numbersField, type Scan } from '../protocol/scan.js';
import { type EchoPlanarTrain, echoPlanarTrain } from './echo-planar-train.js';
import { FAT_PULSE_S, fatSaturationS } from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import type { Line } from './timeline.js';

/**
 * Time from shot to shot: TR x multiband factor / slices.
 *
 * @throws {UnplayableError} The slices do not divide by the multiband factor.
 */
export function shotPeriodS(scan: Scan): number {
  const slices = numberField(scan, 'NumberOfSlices');
  const multiband = numberField(scan, 'MultibandAccelerationFactor');
  if (slices % multiband !== 0) {
    throw new UnplayableError(
      'MultibandAccelerationFactor',
      `${slices} slices do not divide by a multiband factor of ${multiband}`,
      `a divisor of ${slices}`,
      'Check NumberOfSlices and MultibandAccelerationFactor.',
    );
  }
  return (numberField(scan, 'RepetitionTime') * multiband) / slices;
}

/** The readout train of a scan. @throws {UnplayableError} as {@link echoPlanarTrain}. */
export function readTrain(scan: Scan, limits: GradientLimits): EchoPlanarTrain {
  const voxel = numbersField(scan, 'AcquisitionVoxelSize');
  return echoPlanarTrain(
    {
      echoSpacingS: numberField(scan, 'EchoSpacing'),
      echoes: numberField(scan, 'EchoTrainLength'),
      lines: numberField(scan, 'AcquisitionMatrixPE'),
      acceleration: numberField(scan, 'ParallelReductionFactorInPlane'),
      readVoxelMm: voxel[0]!,
      phaseVoxelMm: voxel[1]!,
    },
    limits,
  );
}

/** Volumes that the scan's duration holds, dummies included. */
export const volumeCount = (scan: Scan): number =>
  Math.max(1, Math.round(numberField(scan, 'Duration') / numberField(scan, 'RepetitionTime')));

/**
 * How long the fat-saturation pulse of a shot may be: the usual length, or what the shot leaves.
 *
 * @param restS - What else the shot takes, in s.
 * @returns Length in s; 0 for a scan without fat saturation.
 * @throws {UnplayableError} The shot does not fit into its period.
 */
export function fatPulseWithin(
  scan: Scan,
  periodS: number,
  restS: number,
  limits: GradientLimits,
): number {
  const fat = booleanField(scan, 'FatSaturation');
  const shortestS = restS + (fat ? fatSaturationS(FAT_PULSE_S.shortest, limits) : 0);
  if (shortestS > periodS) {
    throw new UnplayableError(
      'RepetitionTime',
      `a shot takes at least ${formatTime(shortestS)}, the repetition time leaves ` +
        `${formatTime(periodS)} for each`,
      `RepetitionTime x MultibandAccelerationFactor / NumberOfSlices of at least that`,
      'Check RepetitionTime, NumberOfSlices, MultibandAccelerationFactor, EchoTime and EchoTrainLength.',
    );
  }
  if (!fat) return 0;
  return Math.min(FAT_PULSE_S.usual, periodS - restS - fatSaturationS(0, limits));
}

/** The tones and rates that an echo-planar scan must show. */
export function echoPlanarLines(
  scan: Scan,
  train: EchoPlanarTrain,
  periodS: number,
): { readonly tones: readonly Line[]; readonly rhythm: readonly Line[] } {
  const spacing = formatTime(train.echoSpacingS);
  const toneHz = 1 / (2 * train.echoSpacingS);
  const slices = numberField(scan, 'NumberOfSlices');
  const multiband = numberField(scan, 'MultibandAccelerationFactor');
  const repetition = numberField(scan, 'RepetitionTime');
  const groups = slices / multiband;
  return {
    tones: [
      { hertz: toneHz, cause: `readout, 1/(2 x ${spacing})` },
      { hertz: 3 * toneHz, cause: `readout, third harmonic, 3/(2 x ${spacing})` },
      { hertz: 2 * toneHz, cause: `blips, 1/${spacing}` },
    ],
    rhythm: [
      {
        hertz: 1 / periodS,
        cause:
          multiband === 1
            ? `shots, ${slices} slices in ${formatTime(repetition)}`
            : `shots, ${slices} slices in groups of ${multiband}: ${groups} in ${formatTime(repetition)}`,
      },
      { hertz: 1 / repetition, cause: `volumes, 1/${formatTime(repetition)}` },
    ],
  };
}
