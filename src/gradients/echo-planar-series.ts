/**
 * An echo-planar series in time: calibration shots, single-band reference volumes, then volume after
 * volume, each perhaps with a silence at its end.
 *
 * Calibration and reference shots are heard like all others: calibration takes the lines of a slice
 * in interleaved shots, reference volumes take every slice alone and so last as many times longer as
 * the multiband factor says. (A public 3 T protocol of 1200 volumes 0.72 s apart with 72 slices,
 * eight at once, is listed with 14:33: 9 s more than its volumes, where one reference volume is 5.8 s.)
 *
 * @module
 */
import { numberField, type Scan } from '../protocol/scan.js';
import { formatTime, UnplayableError } from './hardware.js';
import type { Layer, Line, PlayedScan, Segment } from './timeline.js';

/** How the shots of a series lie in time. */
export interface SeriesTiming {
  /** From shot to shot, in s. */
  readonly periodSeconds: number;
  readonly shotsPerVolume: number;
  readonly volumes: number;
  /** Silence at the end of a volume, in s. */
  readonly delaySeconds: number;
  /** Shots before the first volume: calibration and reference volumes. */
  readonly calibrationShots: number;
  readonly referenceShots: number;
}

/**
 * Lays a series out in time: a shot every (RepetitionTime - DelayTime) x multiband factor / slices.
 *
 * @throws {UnplayableError} The slices do not divide by the multiband factor, or the delay leaves
 *   nothing of the repetition time.
 */
export function seriesTiming(scan: Scan): SeriesTiming {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const delaySeconds = numberField(scan, 'DelayTime');
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
  if (delaySeconds >= repetitionSeconds) {
    throw new UnplayableError(
      'DelayTime',
      `a delay of ${formatTime(delaySeconds)} at the end of a repetition of ${formatTime(repetitionSeconds)}`,
      `less than ${formatTime(repetitionSeconds)}`,
      'Check DelayTime: RepetitionTime includes it.',
    );
  }
  const shotsPerVolume = slices / multiband;
  const periodSeconds = (repetitionSeconds - delaySeconds) / shotsPerVolume;
  const calibrationShots = slices * numberField(scan, 'NumberOfCalibrationShots');
  const referenceShots = slices * numberField(scan, 'NumberOfReferenceVolumes');
  const preparationSeconds = (calibrationShots + referenceShots) * periodSeconds;
  const volumes = Math.round(
    (numberField(scan, 'Duration') - preparationSeconds) / repetitionSeconds,
  );
  return {
    periodSeconds,
    shotsPerVolume,
    volumes: Math.max(1, volumes),
    delaySeconds,
    calibrationShots,
    referenceShots,
  };
}

/** The shots before the first volume. */
export function preparationSegments(
  { periodSeconds, calibrationShots, referenceShots }: SeriesTiming,
  layers: readonly Layer[],
): readonly Segment[] {
  return [calibrationShots, referenceShots].flatMap(repeats =>
    repeats === 0 ? [] : [{ durationSeconds: periodSeconds, repeats, layers }],
  );
}

/** `count` volumes that sound alike. */
export function volumeSegments(
  { periodSeconds, shotsPerVolume, delaySeconds }: SeriesTiming,
  layers: readonly Layer[],
  count: number,
): readonly Segment[] {
  if (delaySeconds === 0)
    return [{ durationSeconds: periodSeconds, repeats: shotsPerVolume * count, layers }];
  return Array.from({ length: count }).flatMap(() => [
    { durationSeconds: periodSeconds, repeats: shotsPerVolume, layers },
    { durationSeconds: delaySeconds, repeats: 1, layers: [] },
  ]);
}

/** A whole series whose volumes sound alike. */
export const playSeries = (
  timing: SeriesTiming,
  layers: readonly Layer[],
): PlayedScan['timeline'] => ({
  segments: [
    ...preparationSegments(timing, layers),
    ...volumeSegments(timing, layers, timing.volumes),
  ],
});

/** The rates of a series: shots, volumes, and those of what stands out. */
export function seriesRhythm(scan: Scan, timing: SeriesTiming): readonly Line[] {
  const { periodSeconds, delaySeconds, referenceShots } = timing;
  const slices = numberField(scan, 'NumberOfSlices');
  const multiband = numberField(scan, 'MultibandAccelerationFactor');
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const inTime = formatTime(repetitionSeconds - delaySeconds);
  const silence =
    delaySeconds === 0 ? '' : `: ${inTime} of shots, then ${formatTime(delaySeconds)} of silence`;
  const referenceSeconds = slices * periodSeconds;
  return [
    {
      hertz: 1 / periodSeconds,
      cause:
        multiband === 1
          ? `shots, ${slices} slices in ${inTime}`
          : `shots, ${slices} slices in groups of ${multiband}: ${timing.shotsPerVolume} in ${inTime}`,
    },
    {
      hertz: 1 / repetitionSeconds,
      cause: `volumes, 1/${formatTime(repetitionSeconds)}${silence}`,
    },
    ...(referenceShots === 0
      ? []
      : [
          {
            hertz: 1 / referenceSeconds,
            cause: `reference volumes before the series, 1/${formatTime(referenceSeconds)}`,
          },
        ]),
  ];
}
