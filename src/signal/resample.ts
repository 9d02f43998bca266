/**
 * Change of the sample rate of short sounds.
 *
 * A windowed sinc: flat within 0.01 dB to 0.45 of the lower rate, what would fold back is more than
 * 80 dB down (measured in its test). Output sample n is the input at the time n / rate, so nothing is
 * delayed. One set of taps per phase; whole rates have at most as many phases as the new rate.
 *
 * @module
 */
import { besselI0 } from './bessel.js';
import { requireWhole } from './require.js';

/** Taps on each side of a point, at the lower rate. */
const HALF_TAPS = 64;

/** Shape of the Kaiser window. */
const KAISER_BETA = 9;

/** Middle of the transition, as a share of the lower rate. */
const CUTOFF = 0.478;

/**
 * Samples at another rate; before and after them is silence.
 *
 * @param fromHz - Their rate, a whole number.
 * @param toHz - The rate wanted, a whole number.
 * @throws {RangeError} A rate that is not whole, or below 1 000 or above 1 000 000.
 */
export function resample(samples: Float64Array, fromHz: number, toHz: number): Float64Array {
  requireWhole(fromHz, 'fromHz', 1000, 1_000_000);
  requireWhole(toHz, 'toHz', 1000, 1_000_000);
  if (fromHz === toHz) return samples.slice();
  const divisor = greatestCommonDivisor(fromHz, toHz);
  const [up, down] = [toHz / divisor, fromHz / divisor];
  const tapsOf = phases(Math.min(1, toHz / fromHz), up);
  const output = new Float64Array(Math.ceil((samples.length * toHz) / fromHz));
  for (let n = 0; n < output.length; n++) {
    // The input time n down / up: a whole number and a phase.
    const whole = Math.floor((n * down) / up);
    const taps = tapsOf((n * down) % up);
    const first = whole - taps.length / 2 + 1;
    let sum = 0;
    for (let k = Math.max(0, -first); k < taps.length && first + k < samples.length; k++) {
      sum += taps[k]! * samples[first + k]!;
    }
    output[n] = sum;
  }
  return output;
}

/** Taps of each phase, made when first asked for. Tap k belongs to the k-th sample around the point. */
function phases(narrowing: number, up: number): (phase: number) => Float64Array {
  const half = Math.ceil(HALF_TAPS / narrowing);
  const bandwidth = 2 * CUTOFF * narrowing;
  const made = new Map<number, Float64Array>();
  return phase => {
    let taps = made.get(phase);
    if (taps === undefined) {
      const fraction = phase / up;
      taps = Float64Array.from({ length: 2 * half }, (_, k) => {
        const distance = k - half + 1 - fraction;
        return bandwidth * sinc(bandwidth * distance) * kaiser(distance / half);
      });
      made.set(phase, taps);
    }
    return taps;
  };
}

const sinc = (x: number): number => (x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));

/** The window over -1 to 1. */
const kaiser = (x: number): number =>
  Math.abs(x) >= 1 ? 0 : besselI0(KAISER_BETA * Math.sqrt(1 - x * x)) / besselI0(KAISER_BETA);

function greatestCommonDivisor(a: number, b: number): number {
  while (b !== 0) [a, b] = [b, a % b];
  return a;
}
