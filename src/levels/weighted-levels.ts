/**
 * The sound level meter of one channel: equivalent levels with A, C and Z weighting, maxima with
 * time weighting FAST and SLOW, and the C-weighted peak, in one pass.
 *
 * Time weighting is one pole on the squared A-weighted signal (IEC 61672-1:2013, 5.8); its state is
 * 0 before the first sample.
 *
 * @module
 */
import { type Biquad, flushDenormal } from '../signal/biquad.js';
import { PeakBetweenSamples } from '../signal/peak-between-samples.js';
import { weightingFilter } from './weighting-filter.js';

/** Time constants in s (IEC 61672-1:2013, 5.8.1). */
export const TIME_CONSTANT_S = { fast: 0.125, slow: 1 } as const;

/** Sums and maxima of squares, 1.0 = digital full scale squared. */
export interface WeightedSums {
  readonly sumOfSquaresA: number;
  readonly sumOfSquaresC: number;
  readonly sumOfSquaresZ: number;
  readonly maxFastA: number;
  readonly maxSlowA: number;
  /** Linear. */
  readonly peakC: number;
}

/** Meters one channel. */
export class WeightedLevels {
  private readonly sections: readonly [Biquad, Biquad, Biquad, Biquad];
  private readonly state = new Float64Array(8);
  private readonly fastStep: number;
  private readonly slowStep: number;
  private fast = 0;
  private slow = 0;
  private maxFast = 0;
  private maxSlow = 0;
  private sumA = 0;
  private sumC = 0;
  private sumZ = 0;
  private cWeighted = new Float64Array(0);
  private readonly peakC = new PeakBetweenSamples();

  constructor(sampleRateHz: number) {
    const { c, aAfterC } = weightingFilter(sampleRateHz);
    this.sections = [...c, aAfterC];
    this.fastStep = -Math.expm1(-1 / (sampleRateHz * TIME_CONSTANT_S.fast));
    this.slowStep = -Math.expm1(-1 / (sampleRateHz * TIME_CONSTANT_S.slow));
  }

  /** Takes the next samples; finite ones only, see `Meter`. */
  push(block: Float64Array): void {
    if (this.cWeighted.length < block.length) this.cWeighted = new Float64Array(block.length);
    this.run(block);
    this.peakC.push(this.cWeighted.subarray(0, block.length));
  }

  /** The sum of unweighted squares so far: not finite when a sample was not. */
  get sumOfSquaresZ(): number {
    return this.sumZ;
  }

  result(): WeightedSums {
    return {
      sumOfSquaresA: this.sumA,
      sumOfSquaresC: this.sumC,
      sumOfSquaresZ: this.sumZ,
      maxFastA: this.maxFast,
      maxSlowA: this.maxSlow,
      peakC: this.peakC.result(),
    };
  }

  /** One loop for all filters: they wait for their own last output, so side by side they cost one. */
  private run(block: Float64Array): void {
    const [p, q, r, s] = this.sections;
    const { state, cWeighted, fastStep, slowStep } = this;
    let [p1, p2, q1, q2, r1, r2, s1, s2] = state as unknown as EightNumbers;
    let { fast, slow, maxFast, maxSlow } = this;
    let [sumA, sumC, sumZ] = [0, 0, 0];
    for (let i = 0; i < block.length; i++) {
      const x = block[i]!;
      sumZ += x * x;
      const u = p.b0 * x + p1;
      p1 = p.b1 * x - p.a1 * u + p2;
      p2 = p.b2 * x - p.a2 * u;
      const v = q.b0 * u + q1;
      q1 = q.b1 * u - q.a1 * v + q2;
      q2 = q.b2 * u - q.a2 * v;
      const c = r.b0 * v + r1;
      r1 = r.b1 * v - r.a1 * c + r2;
      r2 = r.b2 * v - r.a2 * c;
      cWeighted[i] = c;
      sumC += c * c;
      const a = s.b0 * c + s1;
      s1 = s.b1 * c - s.a1 * a + s2;
      s2 = s.b2 * c - s.a2 * a;
      const power = a * a;
      sumA += power;
      fast += fastStep * (power - fast);
      slow += slowStep * (power - slow);
      if (fast > maxFast) maxFast = fast;
      if (slow > maxSlow) maxSlow = slow;
    }
    state.set([p1, p2, q1, q2, r1, r2, s1, s2].map(flushDenormal));
    this.fast = flushDenormal(fast);
    this.slow = flushDenormal(slow);
    this.maxFast = maxFast;
    this.maxSlow = maxSlow;
    this.sumA += sumA;
    this.sumC += sumC;
    this.sumZ += sumZ;
  }
}

type EightNumbers = [number, number, number, number, number, number, number, number];
