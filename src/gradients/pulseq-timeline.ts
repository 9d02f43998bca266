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
import { quietMiddleS } from './pulseq-quiet.js';
import { findRuns } from './pulseq-runs.js';
import type { GradientBlock, Layer, Segment, Timeline } from './timeline.js';

/**
 * Longest piece in s: with its ringing (0.35 s) and what sounds before it (6 ms) it still fits into a
 * transform of 2^17 samples, the size that takes least time per second of sound.
 */
const PIECE_S = 2.55;

/** How far before the end of the longest piece a cut is looked for, in s: near it, then further off. */
const CUT_RANGES_S = [0.1, 0.6] as const;

/** Quiet time worth cutting in, in s: some samples more than the sampling kernel is wide (7). */
const QUIET_S = 12 / SAMPLE_RATE_HZ;

/**
 * What is worth a segment of its own, in s: periods that a short fade fits into and that need no
 * longer transform than 2^19 samples, and repetition that lasts for some pieces.
 */
const REPETITION = { shortestS: 0.01, longestS: 11, atLeastS: 4 };

/** No segment is shorter, in s: one that a gradient is on across is faded into the next. */
const SHORTEST_S = 0.05;

export interface PulseqTimeline {
  readonly timeline: Timeline;
  /** Length in s of the period that repeats for the longest time; undefined when none does. */
  readonly periodS: number | undefined;
}

/** Cuts a sequence into segments. */
export function pulseqTimeline(gradients: PulseqGradients): PulseqTimeline {
  const { durationS, blocks } = gradients;
  const segments: Segment[] = [];
  let startS = 0;
  let periodS: number | undefined;
  let longestS = 0;
  for (const run of findRuns(blocks, REPETITION)) {
    // The first period lends its end to what comes before and the last block is left out: edges that
    // follow from neighbouring events are then the same in every period.
    const firstS = Math.max(blocks.startsS[run.begin + 1]!, startS + SHORTEST_S);
    const lastS = blocks.startsS[run.end - 1]! - SHORTEST_S;
    const beginS = cutWithin(gradients, firstS, firstS + run.periodS) ?? sampleAfter(firstS);
    const repeats = Math.floor((lastS - beginS) / run.periodS);
    if (repeats < 2) continue;
    segments.push(...pieces(gradients, startS, beginS));
    segments.push(new Stretch(gradients, beginS, run.periodS, repeats));
    startS = beginS + repeats * run.periodS;
    if (startS - beginS > longestS) [longestS, periodS] = [startS - beginS, run.basicS];
  }
  segments.push(...pieces(gradients, startS, durationS));
  return { timeline: { segments }, periodS };
}

/** Pieces from one time to another. */
function pieces(gradients: PulseqGradients, fromS: number, toS: number): Segment[] {
  const segments: Segment[] = [];
  let startS = fromS;
  while (toS - startS > PIECE_S) {
    const latestS = startS + PIECE_S;
    const [near, far] = CUT_RANGES_S;
    const endS =
      cutWithin(gradients, latestS - near, latestS) ??
      cutWithin(gradients, latestS - far, latestS) ??
      sampleAfter(latestS - 1e-4);
    segments.push(new Stretch(gradients, startS, endS - startS, 1));
    startS = endS;
  }
  if (toS > startS) segments.push(new Stretch(gradients, startS, toS - startS, 1));
  return segments;
}

/** A quiet sample of the sound between two times. */
function cutWithin(gradients: PulseqGradients, fromS: number, toS: number): number | undefined {
  const quietS = quietMiddleS(gradients.stretch(fromS, toS), toS - fromS, QUIET_S);
  return quietS === undefined ? undefined : sampleAfter(fromS + quietS);
}

const sampleAfter = (timeS: number): number => Math.ceil(timeS * SAMPLE_RATE_HZ) / SAMPLE_RATE_HZ;

/** A segment whose waveforms are made when they are asked for; those that repeat are kept. */
class Stretch implements Segment {
  private kept: readonly Layer[] | undefined;

  constructor(
    private readonly gradients: PulseqGradients,
    private readonly fromS: number,
    readonly durationS: number,
    readonly repeats: number,
  ) {}

  get layers(): readonly Layer[] {
    if (this.kept !== undefined) return this.kept;
    const block: GradientBlock = this.gradients.stretch(this.fromS, this.fromS + this.durationS);
    const layers = Object.keys(block).length === 0 ? [] : [{ block, gain: 1 }];
    if (this.repeats > 1) this.kept = layers;
    return layers;
  }
}
