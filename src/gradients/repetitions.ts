/**
 * Repetitions that are alike but for one thing, which changes evenly from each to the next: the share
 * of phase encoding, or the angle of a trajectory in its plane.
 *
 * They are drawn in groups of about a second. Within a group every repetition is drawn as it is; from
 * group to group an even change is a change of gains. So a scan of any length rests on a few blocks,
 * and no period is rounded to samples more often than once a second.
 *
 * @module
 */
import { BlockBuilder } from './block-builder.js';
import type { Geometry } from './geometry.js';
import { encodingShare } from './gradient-echo.js';
import type { GradientBlock, Layer, Segment } from './timeline.js';

export interface Repetitions {
  /** How many, at least 1. */
  readonly count: number;
  /** Length of one in s. */
  readonly durationSeconds: number;
  readonly geometry: Geometry;
  /** Draws what every repetition has, from a time on. */
  readonly draw: (builder: BlockBuilder, startSeconds: number) => void;
}

/** Length of a group in s: long enough to be rarely rounded, short enough to be computed quickly. */
const GROUP_SECONDS = 1;

/**
 * Repetitions whose phase encoding goes evenly from one edge of k-space to the other.
 *
 * @param drawPhase - Draws the phase encoding alone, at a share of its largest from -1 to 1.
 */
export function phaseEncoded(
  repetitions: Repetitions,
  drawPhase: (builder: BlockBuilder, startSeconds: number, share: number) => void,
): readonly Segment[] {
  const { count, draw } = repetitions;
  const step = encodingShare(1, count) - encodingShare(0, count);
  return inGroups(repetitions, drawGroup => {
    const common = drawGroup((builder, startSeconds, i) => {
      draw(builder, startSeconds);
      drawPhase(builder, startSeconds, i * step);
    });
    const phase = drawGroup((builder, startSeconds) => {
      drawPhase(builder, startSeconds, 1);
    });
    return first => [
      { block: common, gain: 1 },
      { block: phase, gain: encodingShare(first, count) },
    ];
  });
}

/**
 * Repetitions whose trajectory turns in its plane by the same angle every time.
 *
 * @param turnRad - From each repetition to the next, in rad.
 * @param drawTurned - Draws the trajectory alone, turned by an angle in rad.
 */
export function turning(
  repetitions: Repetitions,
  turnRad: number,
  drawTurned: (builder: BlockBuilder, startSeconds: number, angleRad: number) => void,
): readonly Segment[] {
  return inGroups(repetitions, drawGroup => {
    const common = drawGroup(repetitions.draw);
    // Turned by a further angle, a trajectory is cos of it as it is, and sin of it turned by 90 degrees.
    const [along, across] = [0, Math.PI / 2].map(offset =>
      drawGroup((builder, startSeconds, i) => {
        drawTurned(builder, startSeconds, i * turnRad + offset);
      }),
    );
    return first => [
      { block: common, gain: 1 },
      { block: along!, gain: Math.cos(first * turnRad) },
      { block: across!, gain: Math.sin(first * turnRad) },
    ];
  });
}

/** Draws one repetition of a group, the `i`th from 0. */
type DrawRepetition = (builder: BlockBuilder, startSeconds: number, i: number) => void;

/** Draws all repetitions of a group into a block. */
type DrawGroup = (draw: DrawRepetition) => GradientBlock;

/**
 * Segments of a group each, the last with what is left.
 *
 * @param layersOf - From how a group is drawn to its layers, by the number of its first repetition.
 */
function inGroups(
  { count, durationSeconds, geometry }: Repetitions,
  layersOf: (drawGroup: DrawGroup) => (first: number) => readonly Layer[],
): readonly Segment[] {
  const layersFor = (size: number) =>
    layersOf(draw => {
      const builder = new BlockBuilder();
      for (let i = 0; i < size; i++) draw(builder, i * durationSeconds, i);
      return builder.build(geometry);
    });
  const size = Math.max(1, Math.min(count, Math.round(GROUP_SECONDS / durationSeconds)));
  const layers = layersFor(size);
  const segments = Array.from({ length: Math.floor(count / size) }, (_, group): Segment => ({
    durationSeconds: size * durationSeconds,
    repeats: 1,
    layers: layers(group * size),
  }));
  const rest = count % size;
  if (rest === 0) return segments;
  const last = layersFor(rest)(count - rest);
  return [...segments, { durationSeconds: rest * durationSeconds, repeats: 1, layers: last }];
}
