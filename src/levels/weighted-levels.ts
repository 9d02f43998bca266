/**
 * The sound level meter of one channel: equivalent levels with A, C and Z weighting, levels with
 * time weighting FAST and SLOW, and the K-weighted power that loudness is made of, in one pass.
 *
 * Time weighting is one pole on the squared A-weighted signal (IEC 61672-1:2013, 5.8); its state is
 * 0 before the first sample.
 *
 * @module
 */
import { flushDenormal } from '../signal/biquad.js';
import { forEachPiece, weighing } from '../signal/kernels.js';
import { kWeightingSections } from './k-weighting.js';
import { weightingFilter } from './weighting-filter.js';

/** Time constants in s (IEC 61672-1:2013, 5.8.1). */
export const TIME_CONSTANT_SECONDS = { fast: 0.125, slow: 1 } as const;

/** The meter looks at its needles this often, in s: for percentiles and for loudness. */
export const TICK_SECONDS = 0.01;

/** Sums and maxima of squares, 1.0 = digital full scale squared. */
export interface WeightedSums {
  readonly sumOfSquaresA: number;
  readonly sumOfSquaresC: number;
  readonly sumOfSquaresZ: number;
  readonly maxFastA: number;
  readonly maxSlowA: number;
  /** Sum of the samples themselves. */
  readonly sum: number;
}

/** What is seen at a tick. */
export interface Tick {
  /** FAST A-weighted mean square now. */
  readonly fastA: number;
  /** SLOW A-weighted mean square now. */
  readonly slowA: number;
  /** Sums of A- and K-weighted squares since the last tick. */
  readonly sumOfSquaresA: number;
  readonly sumOfSquaresK: number;
}

/** Places in the state of the kernel. */
const STATE = {
  fastA: 12,
  slowA: 13,
  maxFastA: 14,
  maxSlowA: 15,
  sumOfSquaresC: 16,
  sumOfSquaresK: 17,
  sumOfSquaresA: 18,
  sum: 19,
  sumOfSquaresZ: 20,
} as const;

/** Numbers of the state that fade away in silence: sections and needles. */
const FADING = STATE.maxFastA;

/** Meters one channel. */
export class WeightedLevels {
  private readonly filter: Float64Array;
  private readonly state = new Float64Array(weighing.state.length);
  private sumOfSquaresA = 0;
  private samples = 0;
  private ticks = 0;

  /** @param tickSeconds - The needles are looked at this often, in s. */
  constructor(
    private readonly sampleRateHz: number,
    private readonly tickSeconds = TICK_SECONDS,
  ) {
    this.filter = coefficients(sampleRateHz);
  }

  /** The sum of unweighted squares so far: not finite when a sample was not. */
  get sumOfSquaresZ(): number {
    return this.state[STATE.sumOfSquaresZ]!;
  }

  /**
   * Takes the next samples; returns the ticks that fall among them, oldest first.
   *
   * @param takeC - Is given the samples C-weighted, piece by piece; they are overwritten after.
   */
  push(block: Float64Array, takeC?: (cWeighted: Float64Array) => void): Tick[] {
    const ticks: Tick[] = [];
    forEachPiece(block, piece => {
      this.pushPiece(piece, ticks);
      takeC?.(weighing.cWeighted.subarray(0, piece.length));
    });
    return ticks;
  }

  result(): WeightedSums {
    const { state } = this;
    return {
      sumOfSquaresA: this.sumOfSquaresA + state[STATE.sumOfSquaresA]!,
      sumOfSquaresC: state[STATE.sumOfSquaresC]!,
      sumOfSquaresZ: state[STATE.sumOfSquaresZ]!,
      sum: state[STATE.sum]!,
      maxFastA: state[STATE.maxFastA]!,
      maxSlowA: state[STATE.maxSlowA]!,
    };
  }

  private pushPiece(piece: Float64Array, ticks: Tick[]): void {
    const { state } = weighing;
    weighing.samples.set(piece);
    weighing.filter.set(this.filter);
    state.set(this.state);
    for (let from = 0; from < piece.length;) {
      const tickAt = Math.round((this.ticks + 1) * this.tickSeconds * this.sampleRateHz);
      const to = Math.min(piece.length, from + tickAt - this.samples);
      weighing.run(from, to);
      for (let i = 0; i < FADING; i++) state[i] = flushDenormal(state[i]!);
      this.samples += to - from;
      from = to;
      if (this.samples === tickAt) {
        ticks.push(takeTick(state));
        this.sumOfSquaresA += ticks.at(-1)!.sumOfSquaresA;
        this.ticks += 1;
      }
    }
    this.state.set(state);
  }
}

/** What is seen in the state of the kernel; its sums from tick to tick begin anew. */
function takeTick(state: Float64Array): Tick {
  const tick = {
    fastA: state[STATE.fastA]!,
    slowA: state[STATE.slowA]!,
    sumOfSquaresA: state[STATE.sumOfSquaresA]!,
    sumOfSquaresK: state[STATE.sumOfSquaresK]!,
  };
  state[STATE.sumOfSquaresA] = 0;
  state[STATE.sumOfSquaresK] = 0;
  return tick;
}

/** In the order of the kernel: A- and C-weighting side by side with K-weighting. */
function coefficients(sampleRateHz: number): Float64Array {
  const { treble, tip, bass, middle, gainA } = weightingFilter(sampleRateHz);
  const [shelf, highPass] = kWeightingSections(sampleRateHz);
  const pair = (key: 'b0' | 'b1' | 'b2' | 'a1' | 'a2'): number[] => [treble[key], shelf[key]];
  const take = (timeConstantSeconds: number): number =>
    -Math.expm1(-1 / (sampleRateHz * timeConstantSeconds));
  return Float64Array.of(
    ...[...pair('b0'), ...pair('b1'), ...pair('b2'), ...pair('a1'), ...pair('a2')],
    ...[tip.b0, tip.b1, tip.a1, 0],
    ...[bass.a1, highPass.a1, bass.a2, highPass.a2],
    ...[middle.a1, middle.a2],
    ...[take(TIME_CONSTANT_SECONDS.fast), take(TIME_CONSTANT_SECONDS.slow)],
    gainA * gainA,
  );
}
