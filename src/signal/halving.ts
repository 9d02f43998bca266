/**
 * Half the sample rate, again and again: every second sample under a binomial low-pass, whose droop is
 * known at every frequency and can be divided out.
 *
 * @module
 */
import { halving } from './kernels.js';

/** Zeros of the low-pass at half the rate: it is (1 + z^-1)^zeros / 2^zeros. */
export type HalvingZeros = 4 | 8;

/** Halves the rate of one signal in pieces; before the first sample is silence. */
export class Halving {
  /** The first samples under the low-pass of the next output. */
  private readonly held: Float64Array;
  private holds: number;

  constructor(private readonly zeros: HalvingZeros) {
    this.held = new Float64Array(zeros);
    this.holds = zeros;
  }

  /**
   * Takes the next samples, at most a {@link PIECE}; returns what can be made of them, which any next
   * call overwrites.
   */
  push(piece: Float64Array): Float64Array {
    const { input, output, runBy4, runBy8 } = halving;
    const total = this.holds + piece.length;
    input.set(piece, this.holds);
    input.set(this.held.subarray(0, this.holds));
    const outputs = Math.max(0, Math.floor((total - this.zeros + 1) / 2));
    if (this.zeros === 4) runBy4(outputs);
    else runBy8(outputs);
    this.holds = total - 2 * outputs;
    this.held.set(input.subarray(2 * outputs, total));
    return output.subarray(0, outputs);
  }
}

/** Power gain of {@link Halving} at a frequency re the rate that it begins with. */
export const halvingGain = (frequency: number, zeros: HalvingZeros): number =>
  Math.cos(Math.PI * frequency) ** (2 * zeros);
