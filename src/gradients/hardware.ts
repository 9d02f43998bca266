/**
 * What a gradient system can play, and the error for what it cannot.
 *
 * @module
 */
import type { FieldName } from '../protocol/fields.js';
import type { Scanner } from '../protocol/scan.js';

/** Limits per physical axis. */
export interface GradientLimits {
  /** Highest amplitude in mT/m. */
  readonly amplitude: number;
  /** Highest slew rate in T/m/s, which is mT/m/ms. */
  readonly slewRate: number;
}

/** A scan that these gradients cannot play, or whose times do not fit together. */
export class UnplayableError extends RangeError {
  override readonly name = 'UnplayableError';

  constructor(
    /** The field that is easiest to blame. */
    readonly field: FieldName,
    /** What does not work, with its numbers. */
    readonly found: string,
    /** What would work, with numbers. */
    readonly allowed: string,
    /** What to do. */
    readonly fix: string,
  ) {
    super(`${field}: ${found}; ${allowed}`);
  }
}

/** The full strength of a scanner: echo-planar readouts and diffusion lobes use it. */
export const fullLimits = (scanner: Scanner): GradientLimits => ({
  amplitude: scanner.MaximumGradientAmplitude.value,
  slewRate: scanner.MaximumSlewRate.value,
});

/**
 * What structural scans use of it: they have time, and gentler gradients disturb the image less.
 * 24 mT/m and 100 T/m/s are typical of a scanner's normal gradient mode (20-26 mT/m, 40-100 T/m/s;
 * common practice, no source).
 */
export function normalLimits(scanner: Scanner): GradientLimits {
  const { amplitude, slewRate } = fullLimits(scanner);
  return { amplitude: Math.min(amplitude, 24), slewRate: Math.min(slewRate, 100) };
}

/** Seconds as they are printed to people: `0.58 ms`, `2.3 s`. */
export function formatTime(timeSeconds: number): string {
  const rounded = (value: number): string => String(Number(value.toPrecision(4)));
  return Math.abs(timeSeconds) < 1
    ? `${rounded(timeSeconds * 1e3)} ms`
    : `${rounded(timeSeconds)} s`;
}
