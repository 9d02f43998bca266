/**
 * Trains of spin echoes in many slices: within one repetition every slice of a group has its train,
 * evenly spread; each repetition takes other lines; the groups (concatenations) follow one another.
 *
 * With an inversion time every train has its inversion before it: a repetition then plays the
 * inversions of all slices of the group, and an inversion time later their trains, in the same beat
 * (common practice, no source).
 *
 * @module
 */
import { booleanField, numberField, type Scan } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import {
  addFatSaturation,
  addInversion,
  addShotSpoiler,
  FAT_PULSE_SECONDS,
  fatSaturationSeconds,
  shotSpoilerSeconds,
} from './excitation.js';
import { scanGeometry } from './geometry.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { drawSpinEchoTrain, type SpinEchoTrain } from './spin-echo-train.js';
import type { GradientBlock, Line, Segment } from './timeline.js';

/** An inversion selects a thicker slice, so that all of the excited one is inverted. Common practice, no source. */
const INVERSION_THICKNESS = 1.5;

/** The slices of a scan in time. */
export interface MultiSlice {
  readonly segments: readonly Segment[];
  /** The rates of slices and repetitions. */
  readonly rhythm: readonly Line[];
  /** Where several slices share a repetition: their rate, which all lines are multiples of. */
  readonly comb?: Line;
}

/** One group of slices, drawn: everything, and what changes from repetition to repetition. */
interface Group {
  readonly whole: GradientBlock;
  readonly line: GradientBlock;
}

/** @throws {UnplayableError} The trains of a group, or their inversions, do not fit into a repetition. */
export function playSlices(scan: Scan, train: SpinEchoTrain, limits: GradientLimits): MultiSlice {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const slices = numberField(scan, 'NumberOfSlices');
  const concatenations = Math.min(slices, numberField(scan, 'NumberOfConcatenations'));
  const repetitions = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionSeconds));
  const perGroup = Math.ceil(slices / concatenations);
  const beatSeconds = beatOf(scan, perGroup, train, limits);

  const groups = new Map<number, Group>();
  const shots = Math.ceil(repetitions / concatenations);
  const { echoes } = train.shape;
  const segments = Array.from({ length: repetitions }, (_, i): Segment => {
    const concatenation = Math.floor((i * concatenations) / repetitions);
    const shot = i - Math.ceil((concatenation * repetitions) / concatenations);
    const count = Math.floor((slices + concatenations - 1 - concatenation) / concatenations);
    let group = groups.get(count);
    if (group === undefined) {
      groups.set(count, (group = drawGroup(scan, count, train, beatSeconds, limits)));
    }
    // Echo e of shot s takes line e x shots + s: a share per echo, and one per shot.
    const gain = shots === 1 ? 0 : (2 * shot - (shots - 1)) / (shots * echoes - 1);
    const layers = [
      { block: group.whole, gain: 1 },
      { block: group.line, gain },
    ];
    return { durationSeconds: repetitionSeconds, repeats: 1, layers };
  });
  const rate = {
    hertz: 1 / repetitionSeconds,
    cause: `repetitions, 1/${formatTime(repetitionSeconds)}`,
  };
  const beat = {
    hertz: 1 / beatSeconds,
    cause: `slices, ${perGroup} of ${slices} in a repetition, ${formatTime(beatSeconds)} apart`,
  };
  return perGroup === 1
    ? { segments, rhythm: [rate] }
    : { segments, rhythm: [beat, rate], comb: beat };
}

/** Time from slice to slice within a repetition, in s. */
function beatOf(
  scan: Scan,
  perGroup: number,
  train: SpinEchoTrain,
  limits: GradientLimits,
): number {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const inversionTimeSeconds = optionalInversionTime(scan);
  const trainSeconds =
    fatSeconds(scan, limits) + train.durationSeconds + shotSpoilerSeconds(limits);
  const roomSeconds = roomIn(
    repetitionSeconds,
    inversionTimeSeconds,
    perGroup,
    inversionSeconds(scan, limits),
  );
  const beatSeconds = roomSeconds / perGroup;
  if (trainSeconds <= beatSeconds) return beatSeconds;
  const inversion = inversionTimeSeconds === undefined ? '' : ` and its inversion time`;
  const leaves = `leaves ${formatTime(Math.max(0, beatSeconds))} for each`;
  throw perGroup === 1
    ? new UnplayableError(
        'RepetitionTime',
        `a train of ${formatTime(trainSeconds)} in a repetition of ${formatTime(repetitionSeconds)}${inversion}, which ${leaves}`,
        `a RepetitionTime of at least ${formatTime(repetitionSeconds - roomSeconds + trainSeconds)}, or a shorter train`,
        'Check RepetitionTime (of a single-shot scan: from slice to slice), InversionTime, EchoTrainLength and EchoSpacing.',
      )
    : new UnplayableError(
        'NumberOfConcatenations',
        `${perGroup} slices, each ${formatTime(trainSeconds)} long, do not fit into a repetition of ` +
          `${formatTime(repetitionSeconds)}${inversion}, which ${leaves}`,
        `at most ${Math.max(1, Math.floor(roomSeconds / trainSeconds))} slices in a repetition`,
        'Raise NumberOfConcatenations or RepetitionTime, or check NumberOfSlices, EchoTrainLength, EchoSpacing and EchoTime.',
      );
}

/**
 * How much of a repetition the trains of a group may fill, in s: the inversions of all its slices, in
 * the same beat, must be over before the first train.
 */
function roomIn(
  repetitionSeconds: number,
  inversionTimeSeconds: number | undefined,
  perGroup: number,
  inversionLengthSeconds: number,
): number {
  if (inversionTimeSeconds === undefined) return repetitionSeconds;
  const afterSeconds = repetitionSeconds - inversionTimeSeconds - inversionLengthSeconds;
  return perGroup === 1
    ? afterSeconds
    : Math.min(inversionTimeSeconds - inversionLengthSeconds, afterSeconds);
}

/** A repetition in which `count` slices have their trains, and before them their inversions. */
function drawGroup(
  scan: Scan,
  count: number,
  train: SpinEchoTrain,
  beatSeconds: number,
  limits: GradientLimits,
): Group {
  const whole = new BlockBuilder();
  const line = new BlockBuilder();
  const inversionTimeSeconds = optionalInversionTime(scan);
  const { echoes } = train.shape;
  for (let slice = 0; slice < count; slice++) {
    let startSeconds = slice * beatSeconds + fatSeconds(scan, limits);
    if (inversionTimeSeconds !== undefined) {
      const { pulseCentreSeconds } = addSliceInversion(whole, scan, slice * beatSeconds, limits);
      startSeconds = pulseCentreSeconds + inversionTimeSeconds - train.excitationCentreSeconds;
    }
    if (fatSeconds(scan, limits) > 0) {
      addFatSaturation(
        whole,
        startSeconds - fatSeconds(scan, limits),
        FAT_PULSE_SECONDS.usual,
        limits,
      );
    }
    const endSeconds = drawSpinEchoTrain({ whole, line }, train, startSeconds, echo =>
      echoes === 1 ? 0 : (2 * (echo + 0.5)) / echoes - 1,
    );
    addShotSpoiler(whole, endSeconds, limits);
  }
  const geometry = scanGeometry(scan);
  return { whole: whole.build(geometry), line: line.build(geometry) };
}

const addSliceInversion = (
  builder: BlockBuilder,
  scan: Scan,
  startSeconds: number,
  limits: GradientLimits,
): ReturnType<typeof addInversion> =>
  addInversion(
    builder,
    startSeconds,
    limits,
    INVERSION_THICKNESS * numberField(scan, 'SliceThickness'),
  );

const inversionSeconds = (scan: Scan, limits: GradientLimits): number =>
  addSliceInversion(new BlockBuilder(), scan, 0, limits).endSeconds;

const fatSeconds = (scan: Scan, limits: GradientLimits): number =>
  booleanField(scan, 'FatSaturation') ? fatSaturationSeconds(FAT_PULSE_SECONDS.usual, limits) : 0;

function optionalInversionTime(scan: Scan): number | undefined {
  const value = scan.fields.InversionTime?.value;
  return typeof value === 'number' ? value : undefined;
}
