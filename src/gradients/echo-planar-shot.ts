/**
 * What the shots of all echo-planar families share: their train, what there is time for, and the tones
 * that their sound must show.
 *
 * @module
 */
import { booleanField, numberField, numbersField, type Scan } from '../protocol/scan.js';
import { type EchoPlanarTrain, echoPlanarTrain } from './echo-planar-train.js';
import { FAT_PULSE_SECONDS, fatSaturationSeconds } from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import type { Line } from './timeline.js';

/** The readout train of a scan. @throws {UnplayableError} as {@link echoPlanarTrain}. */
export function readTrain(scan: Scan, limits: GradientLimits): EchoPlanarTrain {
  const voxel = numbersField(scan, 'AcquisitionVoxelSize');
  return echoPlanarTrain(
    {
      echoSpacingSeconds: numberField(scan, 'EchoSpacing'),
      echoes: numberField(scan, 'EchoTrainLength'),
      lines: numberField(scan, 'AcquisitionMatrixPE'),
      acceleration: numberField(scan, 'ParallelReductionFactorInPlane'),
      readVoxelMm: voxel[0]!,
      phaseVoxelMm: voxel[1]!,
    },
    limits,
  );
}

/**
 * How long the fat-saturation pulse of a shot may be: the usual length, or what the shot leaves.
 *
 * @param restSeconds - What else the shot takes, in s.
 * @returns Length in s; 0 for a scan without fat saturation.
 * @throws {UnplayableError} The shot does not fit into its period.
 */
export function fatPulseWithin(
  scan: Scan,
  periodSeconds: number,
  restSeconds: number,
  limits: GradientLimits,
): number {
  const fat = booleanField(scan, 'FatSaturation');
  const shortestSeconds =
    restSeconds + (fat ? fatSaturationSeconds(FAT_PULSE_SECONDS.shortest, limits) : 0);
  if (shortestSeconds > periodSeconds) {
    throw new UnplayableError(
      'RepetitionTime',
      `a shot takes at least ${formatTime(shortestSeconds)}, the repetition time leaves ` +
        `${formatTime(periodSeconds)} for each`,
      `RepetitionTime x MultibandAccelerationFactor / NumberOfSlices of at least that`,
      'Check RepetitionTime, NumberOfSlices, MultibandAccelerationFactor, EchoTime and EchoTrainLength.',
    );
  }
  if (!fat) return 0;
  return Math.min(
    FAT_PULSE_SECONDS.usual,
    periodSeconds - restSeconds - fatSaturationSeconds(0, limits),
  );
}

/** The tones that an echo-planar readout must show. */
export function echoPlanarTones({ echoSpacingSeconds }: EchoPlanarTrain): readonly Line[] {
  const spacing = formatTime(echoSpacingSeconds);
  const toneHz = 1 / (2 * echoSpacingSeconds);
  return [
    { hertz: toneHz, cause: `readout, 1/(2 x ${spacing})` },
    { hertz: 3 * toneHz, cause: `readout, third harmonic, 3/(2 x ${spacing})` },
    { hertz: 2 * toneHz, cause: `blips, 1/${spacing}` },
  ];
}
