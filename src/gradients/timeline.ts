/**
 * A gradient timeline: what the scanner's gradients do over a scan, as piecewise-linear waveforms
 * on the physical axes in segments that repeat.
 *
 * Units: seconds and mT/m. Axes are the magnet's: x left-right, y up-down (anterior-posterior for a
 * patient on the back), z along the bore.
 *
 * @module
 */

export const AXES = ['x', 'y', 'z'] as const;
export type Axis = (typeof AXES)[number];

/**
 * A piecewise-linear waveform: straight lines between corner points, zero outside them.
 * `timesSeconds` never decreases. The first and last amplitude are 0, unless they lie on a border of the
 * segment: then the gradient is on across it, and goes on in the neighbouring segment.
 */
export interface Waveform {
  /** Corner times in s from the start of the block, shape `[n]`. */
  readonly timesSeconds: Float64Array;
  /** Amplitudes at the corners in mT/m, shape `[n]`. */
  readonly amplitudes: Float64Array;
}

/** Waveforms of the three axes; an absent axis is silent. */
export type GradientBlock = Readonly<Partial<Record<Axis, Waveform>>>;

/** A block played at a gain: diffusion lobes, for example, keep their shape and change direction. */
export interface Layer {
  readonly block: GradientBlock;
  readonly gain: number;
}

/** A stretch of time that repeats exactly. Its layers are played at once. */
export interface Segment {
  /** Length of one repeat in s. Corners may lie anywhere in `[0, durationSeconds]`. */
  readonly durationSeconds: number;
  /** How often it is played, at least 1. */
  readonly repeats: number;
  readonly layers: readonly Layer[];
}

export interface Timeline {
  /** Played one after another without gaps. */
  readonly segments: readonly Segment[];
}

/** A predicted pitch or rate, with its cause in words. */
export interface Line {
  readonly hertz: number;
  /** For example `readout, 1/(2 x 0.58 ms)`. */
  readonly cause: string;
}

/** What a family makes of a scan. */
export interface PlayedScan {
  readonly timeline: Timeline;
  /** Predicted tones, the one carried most strongly by the readout first. */
  readonly tones: readonly Line[];
  /** Predicted rates, the shot or excitation rate first. */
  readonly rhythm: readonly Line[];
  /** What the lines of its sound are multiples of, where that is not the first rate. */
  readonly comb?: Line;
  /** What sounds instead of gradients, as long as the timeline. */
  readonly source?: 'table-motion';
}

/** Length of a timeline in s. */
export const timelineDurationSeconds = (timeline: Timeline): number =>
  timeline.segments.reduce((sum, segment) => sum + segment.durationSeconds * segment.repeats, 0);
