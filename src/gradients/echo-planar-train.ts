/**
 * The echo-planar readout: a train of alternating lobes with a blip at every turn.
 *
 * One lobe crosses the k-space width of a voxel in one echo spacing, ramps included (ramp
 * sampling), so its mean gradient is `1 / (gammaBar dx ESP)` whatever the slew rate. With slew rate
 * S the plateau is `A = (S ESP / 2)(1 - sqrt(1 - 4 Gmean / (S ESP)))`, the ramp `A / S`.
 *
 * Heard: a tone at 1 / (2 ESP) with odd harmonics; the blips add a weak line at 1 / ESP.
 *
 * @module
 */
import type { BlockBuilder } from './block-builder.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { type Lobe, lobeArea, lobeDurationSeconds, lobeWithin, shortestLobe } from './lobes.js';
import { encodingArea } from './physics.js';

export interface EchoPlanarTrain {
  readonly echoSpacingSeconds: number;
  readonly echoes: number;
  /** Which echo, counted from 0, crosses the middle of k-space. */
  readonly centreEcho: number;
  readonly readLobe: Lobe;
  readonly readPrephaser: Lobe;
  /** Between neighbouring echoes; centred on the turn. */
  readonly blip: Lobe;
  readonly phasePrephaser: Lobe;
}

/** What shapes a train. */
export interface TrainShape {
  readonly echoSpacingSeconds: number;
  readonly echoes: number;
  /** Lines of the full acquisition, and how many of them one echo steps over. */
  readonly lines: number;
  readonly acceleration: number;
  /** Voxel along read and phase, in mm. */
  readonly readVoxelMm: number;
  readonly phaseVoxelMm: number;
}

/** @throws {UnplayableError} The gradients cannot cross that resolution in that echo spacing. */
export function echoPlanarTrain(shape: TrainShape, limits: GradientLimits): EchoPlanarTrain {
  const { echoSpacingSeconds, echoes, lines, acceleration, readVoxelMm, phaseVoxelMm } = shape;
  const area = encodingArea(readVoxelMm);
  const readLobe = lobeWithin(area, echoSpacingSeconds, limits);
  if (readLobe === undefined) throw tooFast(shape, limits);
  const blipArea = (encodingArea(phaseVoxelMm) / lines) * acceleration;
  // With partial Fourier the train starts late in k-space: the middle comes before its half.
  const centreEcho = Math.min(
    echoes - 1,
    Math.max(0, Math.floor(echoes - lines / (2 * acceleration))),
  );
  return {
    echoSpacingSeconds,
    echoes,
    centreEcho,
    readLobe,
    readPrephaser: shortestLobe(-lobeArea(readLobe) / 2, limits),
    blip: shortestLobe(blipArea, limits),
    phasePrephaser: shortestLobe(-blipArea * centreEcho, limits),
  };
}

/** Length of the prephasing before a train, in s. */
export const trainPrephasingSeconds = (train: EchoPlanarTrain): number =>
  Math.max(lobeDurationSeconds(train.readPrephaser), lobeDurationSeconds(train.phasePrephaser));

/** Time from the start of the first echo to the middle of the one that crosses k-space centre, in s. */
export const trainCentreSeconds = (train: EchoPlanarTrain): number =>
  (train.centreEcho + 0.5) * train.echoSpacingSeconds;

export const trainDurationSeconds = (train: EchoPlanarTrain): number =>
  train.echoes * train.echoSpacingSeconds;

/** Prephasing lobes from a time on; reversed where a refocusing pulse follows. */
export function addTrainPrephasing(
  builder: BlockBuilder,
  train: EchoPlanarTrain,
  startSeconds: number,
  sign: 1 | -1 = 1,
): void {
  builder.add('read', train.readPrephaser, startSeconds, sign);
  builder.add('phase', train.phasePrephaser, startSeconds, sign);
}

/** The train from a time on. Every shot starts with the same polarity. Returns its end in s. */
export function addTrain(
  builder: BlockBuilder,
  train: EchoPlanarTrain,
  startSeconds: number,
): number {
  const { echoes, echoSpacingSeconds, readLobe, blip } = train;
  for (let echo = 0; echo < echoes; echo++) {
    const echoStartSeconds = startSeconds + echo * echoSpacingSeconds;
    builder.add('read', readLobe, echoStartSeconds, echo % 2 === 0 ? 1 : -1);
    if (echo > 0) builder.addCentred('phase', blip, echoStartSeconds);
  }
  return startSeconds + echoes * echoSpacingSeconds;
}

function tooFast(shape: TrainShape, limits: GradientLimits): UnplayableError {
  const { echoSpacingSeconds, readVoxelMm } = shape;
  const area = encodingArea(readVoxelMm);
  const shortestSeconds = lobeDurationSeconds(shortestLobe(area, limits));
  return new UnplayableError(
    'EchoSpacing',
    `echo spacing ${formatTime(echoSpacingSeconds)} with ${readVoxelMm} mm voxels needs a mean gradient of ` +
      `${(area / echoSpacingSeconds).toFixed(1)} mT/m, more than ${limits.amplitude} mT/m and ` +
      `${limits.slewRate} T/m/s can make`,
    `at least ${formatTime(shortestSeconds)} with this voxel size and these gradients`,
    'Check EchoSpacing, AcquisitionVoxelSize, and the scanner’s MaximumGradientAmplitude and MaximumSlewRate.',
  );
}
