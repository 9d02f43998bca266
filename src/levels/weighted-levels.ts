/**
 * The sound level meter of one channel: equivalent levels with A, C and Z weighting, levels with
 * time weighting FAST and SLOW, the C-weighted peak, and the K-weighted power that loudness is made
 * of, in one pass.
 *
 * Time weighting is one pole on the squared A-weighted signal (IEC 61672-1:2013, 5.8); its state is
 * 0 before the first sample.
 *
 * @module
 */
import { type Biquad, flushDenormal } from '../signal/biquad.js';
import { PeakBetweenSamples } from '../signal/peak-between-samples.js';
import { kWeightingSections } from './k-weighting.js';
import { type WeightingFilter, weightingFilter } from './weighting-filter.js';

/** Time constants in s (IEC 61672-1:2013, 5.8.1). */
export const TIME_CONSTANT_S = { fast: 0.125, slow: 1 } as const;

/** The meter looks at its needles this often, in s: for percentiles and for loudness. */
export const TICK_S = 0.01;

/** Sums and maxima of squares, 1.0 = digital full scale squared. */
export interface WeightedSums {
  readonly sumOfSquaresA: number;
  readonly sumOfSquaresC: number;
  readonly sumOfSquaresZ: number;
  readonly maxFastA: number;
  readonly maxSlowA: number;
  /** Sum of the samples themselves. */
  readonly sum: number;
  /** Linear. */
  readonly peakC: number;
}

/** What is seen at a tick. */
export interface Tick {
  /** FAST A-weighted mean square now. */
  readonly fastA: number;
  /** SLOW A-weighted mean square now. */
  readonly slowA: number;
  /** Sum of K-weighted squares since the last tick. */
  readonly sumOfSquaresK: number;
}

/** Meters one channel. */
export class WeightedLevels {
  private readonly weighting: WeightingFilter;
  private readonly kWeighting: readonly [Biquad, Biquad];
  private readonly fastStep: number;
  private readonly slowStep: number;
  /** Of the sections, in the order of `run`. */
  private readonly state = new Float64Array(11);
  private fast = 0;
  private slow = 0;
  private maxFast = 0;
  private maxSlow = 0;
  private sumA = 0;
  private sumC = 0;
  private sumZ = 0;
  private sum = 0;
  private sumK = 0;
  private samples = 0;
  private ticks = 0;
  private cWeighted = new Float64Array(0);
  private readonly peakC = new PeakBetweenSamples();

  constructor(private readonly sampleRateHz: number) {
    this.weighting = weightingFilter(sampleRateHz);
    this.kWeighting = kWeightingSections(sampleRateHz);
    this.fastStep = -Math.expm1(-1 / (sampleRateHz * TIME_CONSTANT_S.fast));
    this.slowStep = -Math.expm1(-1 / (sampleRateHz * TIME_CONSTANT_S.slow));
  }

  /** The sum of unweighted squares so far: not finite when a sample was not. */
  get sumOfSquaresZ(): number {
    return this.sumZ;
  }

  /** Takes the next samples; returns the ticks that fall among them, oldest first. */
  push(block: Float64Array): Tick[] {
    if (this.cWeighted.length < block.length) this.cWeighted = new Float64Array(block.length);
    const ticks: Tick[] = [];
    let from = 0;
    while (from < block.length) {
      const tickAt = Math.round((this.ticks + 1) * TICK_S * this.sampleRateHz);
      const to = Math.min(block.length, from + tickAt - this.samples);
      this.run(block, from, to);
      this.samples += to - from;
      from = to;
      if (this.samples === tickAt) {
        ticks.push({ fastA: this.fast, slowA: this.slow, sumOfSquaresK: this.sumK });
        this.sumK = 0;
        this.ticks += 1;
      }
    }
    this.peakC.push(this.cWeighted.subarray(0, block.length));
    return ticks;
  }

  result(): WeightedSums {
    return {
      sumOfSquaresA: this.sumA,
      sumOfSquaresC: this.sumC,
      sumOfSquaresZ: this.sumZ,
      sum: this.sum,
      maxFastA: this.maxFast,
      maxSlowA: this.maxSlow,
      peakC: this.peakC.result(),
    };
  }

  /** One loop for all filters: each waits for its own last output, so side by side they cost one. */
  private run(block: Float64Array, from: number, to: number): void {
    const { treble, tip, bass, middle, gainA } = this.weighting;
    const [shelf, highPass] = this.kWeighting;
    const { cWeighted, fastStep, slowStep, state } = this;
    const powerGainA = gainA * gainA;
    let t1 = state[0]!;
    let t2 = state[1]!;
    let i1 = state[2]!;
    let b1 = state[3]!;
    let b2 = state[4]!;
    let m1 = state[5]!;
    let m2 = state[6]!;
    let s1 = state[7]!;
    let s2 = state[8]!;
    let h1 = state[9]!;
    let h2 = state[10]!;
    let { fast, slow, maxFast, maxSlow } = this;
    let sumA = 0;
    let sumC = 0;
    let sumZ = 0;
    let sumK = 0;
    let sum = 0;
    for (let n = from; n < to; n++) {
      const x = block[n]!;
      sum += x;
      sumZ += x * x;

      const t = treble.b0 * x + t1;
      t1 = treble.b1 * x - treble.a1 * t + t2;
      t2 = treble.b2 * x - treble.a2 * t;
      const i = tip.b0 * t + i1;
      i1 = tip.b1 * t - tip.a1 * i;
      const c = i + b1;
      b1 = b2 - 2 * i - bass.a1 * c;
      b2 = i - bass.a2 * c;
      cWeighted[n] = c;
      sumC += c * c;

      const a = c + m1;
      m1 = m2 - 2 * c - middle.a1 * a;
      m2 = c - middle.a2 * a;
      const power = a * a * powerGainA;
      sumA += power;
      fast += fastStep * (power - fast);
      slow += slowStep * (power - slow);
      if (fast > maxFast) maxFast = fast;
      if (slow > maxSlow) maxSlow = slow;

      const s = shelf.b0 * x + s1;
      s1 = shelf.b1 * x - shelf.a1 * s + s2;
      s2 = shelf.b2 * x - shelf.a2 * s;
      const k = s + h1;
      h1 = h2 - 2 * s - highPass.a1 * k;
      h2 = s - highPass.a2 * k;
      sumK += k * k;
    }
    state[0] = t1;
    state[1] = t2;
    state[2] = i1;
    state[3] = b1;
    state[4] = b2;
    state[5] = m1;
    state[6] = m2;
    state[7] = s1;
    state[8] = s2;
    state[9] = h1;
    state[10] = h2;
    for (let i = 0; i < state.length; i++) state[i] = flushDenormal(state[i]!);
    this.fast = flushDenormal(fast);
    this.slow = flushDenormal(slow);
    this.maxFast = maxFast;
    this.maxSlow = maxSlow;
    this.sumA += sumA;
    this.sumC += sumC;
    this.sumZ += sumZ;
    this.sum += sum;
    this.sumK += sumK;
  }
}
