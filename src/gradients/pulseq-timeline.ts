/**
 * A Pulseq sequence as a timeline.
 *
 * What repeats exactly is one segment, played as often as it comes. The rest is cut into pieces of
 * about two and a half seconds, whose waveforms are made when they are asked for and not kept, so that
 * memory does not grow with the length of a sequence. Segments start at samples of the sound wherever
 * that can be had, so that placing them moves nothing; a cut lies where the gradients are off, or at
 * least do not change, where there is such a time near it.
 *
 * @module
 */
import { SAMPLE_RATE_HZ } from '../signal/sound.js';
import type { PulseqGradients } from './pulseq-gradients.js';
import { quietMiddleSeconds } from './pulseq-quiet.js';
import { findRuns } from './pulseq-runs.js';
import type { GradientBlock, Layer, Segment, Timeline } from './timeline.js';

/**
 * Longest piece in s: with its ringing (0.35 s) and what sounds before it (6 ms) it still fits into a
 * transform of 2^17 samples, the size that takes least time per second of sound.
 */
const PIECE_SECONDS = 2.55;

/** How far before the end of the longest piece a cut is looked for, in s: near it, then further off. */
const CUT_RANGES_SECONDS = [0.1, 0.6] as const;

/** Quiet time worth cutting in, in s: some samples more than the sampling kernel is wide (7). */
const QUIET_SECONDS = 12 / SAMPLE_RATE_HZ;

/**
 * What is worth a segment of its own, in s: periods that a short fade fits into and that need no
 * longer transform than 2^19 samples, and repetition that lasts for some pieces.
 */
const REPETITION = { shortestSeconds: 0.01, longestSeconds: 11, atLeastSeconds: 4 };

/** No segment is shorter, in s: one that a gradient is on across is faded into the next. */
const SHORTEST_SECONDS = 0.05;

export interface PulseqTimeline {
  readonly timeline: Timeline;
  /** Length in s of the period that repeats for the longest time; undefined when none does. */
  readonly periodSeconds: number | undefined;
}

/** Cuts a sequence into segments. */
export function pulseqTimeline(gradients: PulseqGradients): PulseqTimeline {
  const { durationSeconds, blocks } = gradients;
  const segments: Segment[] = [];
  let startSeconds = 0;
  let periodSeconds: number | undefined;
  let longestSeconds = 0;
  for (const run of findRuns(blocks, REPETITION)) {
    // The first period lends its end to what comes before and the last block is left out: edges that
    // follow from neighbouring events are then the same in every period.
    const firstSeconds = Math.max(
      blocks.startsSeconds[run.begin + 1]!,
      startSeconds + SHORTEST_SECONDS,
    );
    const lastSeconds = blocks.startsSeconds[run.end - 1]! - SHORTEST_SECONDS;
    const beginSeconds =
      cutWithin(gradients, firstSeconds, firstSeconds + run.periodSeconds) ??
      sampleAfter(firstSeconds);
    const repeats = Math.floor((lastSeconds - beginSeconds) / run.periodSeconds);
    if (repeats < 2) continue;
    segments.push(...pieces(gradients, startSeconds, beginSeconds));
    segments.push(new Stretch(gradients, beginSeconds, run.periodSeconds, repeats));
    startSeconds = beginSeconds + repeats * run.periodSeconds;
    if (startSeconds - beginSeconds > longestSeconds)
      [longestSeconds, periodSeconds] = [startSeconds - beginSeconds, run.basicSeconds];
  }
  segments.push(...pieces(gradients, startSeconds, durationSeconds));
  return { timeline: { segments }, periodSeconds };
}

/** Pieces from one time to another. */
function pieces(gradients: PulseqGradients, fromSeconds: number, toSeconds: number): Segment[] {
  const segments: Segment[] = [];
  let startSeconds = fromSeconds;
  while (toSeconds - startSeconds > PIECE_SECONDS) {
    const latestSeconds = startSeconds + PIECE_SECONDS;
    const [near, far] = CUT_RANGES_SECONDS;
    const endSeconds =
      cutWithin(gradients, latestSeconds - near, latestSeconds) ??
      cutWithin(gradients, latestSeconds - far, latestSeconds) ??
      sampleAfter(latestSeconds - 1e-4);
    segments.push(new Stretch(gradients, startSeconds, endSeconds - startSeconds, 1));
    startSeconds = endSeconds;
  }
  if (toSeconds > startSeconds)
    segments.push(new Stretch(gradients, startSeconds, toSeconds - startSeconds, 1));
  return segments;
}

/** A quiet sample of the sound between two times. */
function cutWithin(
  gradients: PulseqGradients,
  fromSeconds: number,
  toSeconds: number,
): number | undefined {
  const quietSeconds = quietMiddleSeconds(
    gradients.stretch(fromSeconds, toSeconds),
    toSeconds - fromSeconds,
    QUIET_SECONDS,
  );
  return quietSeconds === undefined ? undefined : sampleAfter(fromSeconds + quietSeconds);
}

const sampleAfter = (timeSeconds: number): number =>
  Math.ceil(timeSeconds * SAMPLE_RATE_HZ) / SAMPLE_RATE_HZ;

/** A segment whose waveforms are made when they are asked for; those that repeat are kept. */
class Stretch implements Segment {
  private kept: readonly Layer[] | undefined;

  constructor(
    private readonly gradients: PulseqGradients,
    private readonly fromSeconds: number,
    readonly durationSeconds: number,
    readonly repeats: number,
  ) {}

  get layers(): readonly Layer[] {
    if (this.kept !== undefined) return this.kept;
    const block: GradientBlock = this.gradients.stretch(
      this.fromSeconds,
      this.fromSeconds + this.durationSeconds,
    );
    const layers = Object.keys(block).length === 0 ? [] : [{ block, gain: 1 }];
    if (this.repeats > 1) this.kept = layers;
    return layers;
  }
}
