/**
 * Second-order filter sections: the form in which every recursive filter of the project runs.
 *
 * Sections run in transposed direct form II with 64-bit state. Their order of 2 is what keeps a
 * high-pass at 20 Hz exact at 192 kHz: one 6th-order direct form would lose it in rounding.
 *
 * @module
 */
import { powerToDb } from './decibels.js';

/** H(z) = (b0 + b1 z^-1 + b2 z^-2) / (1 + a1 z^-1 + a2 z^-2). */
export interface Biquad {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

/**
 * State below this amplitude is set to zero between blocks. A filter that rings down into silence
 * would otherwise compute on denormal numbers, a hundred times slower; 1e-30 is 600 dB below full
 * scale.
 */
const FLUSH_BELOW = 1e-30;

/** Zero when too small to matter, see {@link FLUSH_BELOW}. */
export const flushDenormal = (value: number): number =>
  value < FLUSH_BELOW && value > -FLUSH_BELOW ? 0 : value;

/** |H|^2 of sections in series at one frequency. */
export function powerGain(
  sections: readonly Biquad[],
  frequencyHz: number,
  sampleRateHz: number,
): number {
  const angle = (2 * Math.PI * frequencyHz) / sampleRateHz;
  const [c1, s1, c2, s2] = [
    Math.cos(angle),
    Math.sin(angle),
    Math.cos(2 * angle),
    Math.sin(2 * angle),
  ];
  let gain = 1;
  for (const { b0, b1, b2, a1, a2 } of sections) {
    const above = (b0 + b1 * c1 + b2 * c2) ** 2 + (b1 * s1 + b2 * s2) ** 2;
    const below = (1 + a1 * c1 + a2 * c2) ** 2 + (a1 * s1 + a2 * s2) ** 2;
    gain *= above / below;
  }
  return gain;
}

/** |H| in dB of sections in series at one frequency. */
export const gainDb = (
  sections: readonly Biquad[],
  frequencyHz: number,
  sampleRateHz: number,
): number => powerToDb(powerGain(sections, frequencyHz, sampleRateHz));

/** A section with its gain multiplied by `factor`. */
export function scaleBiquad(section: Biquad, factor: number): Biquad {
  const { b0, b1, b2 } = section;
  return { ...section, b0: b0 * factor, b1: b1 * factor, b2: b2 * factor };
}

/** Sections in series that remember their state from block to block. */
export class BiquadCascade {
  private readonly state: Float64Array;

  constructor(readonly sections: readonly Biquad[]) {
    this.state = new Float64Array(2 * sections.length);
  }

  /** Filters `input` into `output`, which may be the same array and must be as long. */
  process(input: Float64Array, output: Float64Array): void {
    if (output.length < input.length) {
      throw new RangeError(`output must hold ${input.length} samples, got ${output.length}`);
    }
    if (input !== output) output.set(input);
    for (let section = 0; section < this.sections.length; section++) {
      this.runSection(section, output, input.length);
    }
  }

  private runSection(section: number, samples: Float64Array, length: number): void {
    const { b0, b1, b2, a1, a2 } = this.sections[section]!;
    let s1 = this.state[2 * section]!;
    let s2 = this.state[2 * section + 1]!;
    for (let i = 0; i < length; i++) {
      const x = samples[i]!;
      const y = b0 * x + s1;
      s1 = b1 * x - a1 * y + s2;
      s2 = b2 * x - a2 * y;
      samples[i] = y;
    }
    this.state[2 * section] = flushDenormal(s1);
    this.state[2 * section + 1] = flushDenormal(s2);
  }
}
