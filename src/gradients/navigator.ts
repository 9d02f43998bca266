/**
 * Navigator: a burst of quick, coarse 3D echo-planar shots in the idle time of a repetition, from
 * which prospective motion correction learns how the head lies (Tisdall and others 2012).
 *
 * Heard: a short extra buzz, about 0.3 s, in every repetition of the scan that carries it.
 *
 * @module
 */
import type { BlockBuilder } from './block-builder.js';
import {
  addTrain,
  addTrainPrephasing,
  type EchoPlanarTrain,
  echoPlanarTrain,
  trainDurationSeconds,
  trainPrephasingSeconds,
} from './echo-planar-train.js';
import { encodingShare } from './gradient-echo.js';
import { formatTime, type GradientLimits } from './hardware.js';
import { type Lobe, lobeDurationSeconds, shortestLobe } from './lobes.js';
import { encodingArea } from './physics.js';
import type { Line } from './timeline.js';

/** Matrix and voxel in mm: 32 x 32 x 32 at 8 mm (imaging protocol of a public study, PMC8542422). */
const LINES = 32;
const VOXEL_MM = 8;

/** Lines and shots that are played, about three quarters and seven eighths of the matrix; from memory. */
const ECHOES = 24;
const SHOTS = 27;

/** Time from shot to shot in s: published repetition times of such navigators are 9.9 and 13 ms (as above). */
const REPETITION_SECONDS = 0.0115;

/** Echo spacing in s where the gradients allow it. Not published; common practice, no source. */
const ECHO_SPACING_SECONDS = 0.00038;

/** Excitation pulse of the whole volume, in s; silent. Common practice, no source. */
const PULSE_SECONDS = 0.0008;

/** Area of the spoiler after each shot, in mT/m s. Common practice, no source. */
const SPOILER_AREA = 0.005;

export interface Navigator {
  readonly train: EchoPlanarTrain;
  /** Largest partition-encoding lobe. */
  readonly partitionLobe: Lobe;
  readonly spoiler: Lobe;
  readonly repetitionSeconds: number;
  /** Length of the whole burst in s. */
  readonly durationSeconds: number;
}

/** A navigator as these gradients play it: weak ones take longer over each echo. */
export function layOutNavigator(limits: GradientLimits): Navigator {
  const quickestSeconds = lobeDurationSeconds(shortestLobe(encodingArea(VOXEL_MM), limits));
  const train = echoPlanarTrain(
    {
      // A hair more than the quickest, which is a triangle at the slew limit.
      echoSpacingSeconds: Math.max(ECHO_SPACING_SECONDS, quickestSeconds * 1.001),
      echoes: ECHOES,
      lines: LINES,
      acceleration: 1,
      readVoxelMm: VOXEL_MM,
      phaseVoxelMm: VOXEL_MM,
    },
    limits,
  );
  const partitionLobe = shortestLobe(encodingArea(VOXEL_MM) / 2, limits);
  const spoiler = shortestLobe(SPOILER_AREA, limits);
  const shotSeconds =
    PULSE_SECONDS +
    Math.max(trainPrephasingSeconds(train), lobeDurationSeconds(partitionLobe)) +
    trainDurationSeconds(train) +
    lobeDurationSeconds(spoiler);
  const repetitionSeconds = Math.max(REPETITION_SECONDS, shotSeconds);
  return {
    train,
    partitionLobe,
    spoiler,
    repetitionSeconds,
    durationSeconds: SHOTS * repetitionSeconds,
  };
}

/** Draws the burst from a time on. Returns its end in s. */
export function addNavigator(
  builder: BlockBuilder,
  navigator: Navigator,
  startSeconds: number,
): number {
  const { train, partitionLobe, spoiler, repetitionSeconds, durationSeconds } = navigator;
  const preparationSeconds = Math.max(
    trainPrephasingSeconds(train),
    lobeDurationSeconds(partitionLobe),
  );
  for (let shot = 0; shot < SHOTS; shot++) {
    const prephasingSeconds = startSeconds + shot * repetitionSeconds + PULSE_SECONDS;
    addTrainPrephasing(builder, train, prephasingSeconds);
    builder.add('slice', partitionLobe, prephasingSeconds, encodingShare(shot, SHOTS));
    builder.add('slice', spoiler, addTrain(builder, train, prephasingSeconds + preparationSeconds));
  }
  return startSeconds + durationSeconds;
}

/** The tone of its readout. */
export const navigatorTone = ({ train }: Navigator): Line => ({
  hertz: 1 / (2 * train.echoSpacingSeconds),
  cause: `navigator readout, 1/(2 x ${formatTime(train.echoSpacingSeconds)})`,
});
