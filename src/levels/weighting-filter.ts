/**
 * Digital A- and C-weighting that hold the analogue curves to the top of the band, for any sample
 * rate from 8 to 192 kHz, designed when the meter starts.
 *
 * The bilinear transform of the analogue filter under-reads the treble (-6 dB at 16 kHz and
 * 48 kHz): the wrong direction for a safety tool. Here only the poles far below the band's top are
 * transformed, and the rest of the curve is fitted:
 *
 * - f1 (double) and f2: first-order high-passes whose power is k X / (X + d) with X = 4 sin^2(w/2),
 *   d = (2 pi f / fs)^2 and k = 1 + d/12, which matches the analogue pole to the sixth order in w;
 * - f3: one pole and one gain fitted to the analogue pole;
 * - f4 (double): three zeros and three poles fitted to the analogue low-pass.
 *
 * A is C with two more sections' worth of high-pass, so both come from one cascade of four
 * sections. Largest error against the analogue curve, in dB, 10 Hz to 20 kHz (or to half the sample
 * rate, where that is less), as measured in `tests/levels/weighting-filter.test.ts`:
 *
 * @@TABLE@@
 *
 * @module
 */
import { type Biquad, powerGain, scaleBiquad } from '../signal/biquad.js';
import { fitPowerResponse } from '../signal/fit-power-response.js';
import {
  highPassPower,
  lowPassPower,
  REFERENCE_HZ,
  WEIGHTING_POLES_HZ,
} from './frequency-weighting.js';

/** The sections of both weightings. */
export interface WeightingFilter {
  /** C-weighting: three sections in series, 0 dB at 1 kHz. */
  readonly c: readonly [Biquad, Biquad, Biquad];
  /** What makes A-weighting of C-weighting: one section after those, 0 dB at 1 kHz. */
  readonly aAfterC: Biquad;
}

const THROUGH: Biquad = { b0: 1, b1: 0, b2: 0, a1: 0, a2: 0 };

/** Fits count up to here, in Hz: the top of the weightings' tables. */
const TOP_HZ = 20_000;

/** Designs made before: a kit is measured in many pieces of one rate. */
const designs = new Map<number, WeightingFilter>();

/**
 * The weighting filters for one sample rate.
 *
 * @param sampleRateHz - From 8 000 to 192 000.
 */
export function weightingFilter(sampleRateHz: number): WeightingFilter {
  let filter = designs.get(sampleRateHz);
  if (filter === undefined) {
    filter = designWeightingFilter(sampleRateHz);
    designs.set(sampleRateHz, filter);
  }
  return filter;
}

function designWeightingFilter(sampleRateHz: number): WeightingFilter {
  const { f1, f2, f3, f4 } = WEIGHTING_POLES_HZ;
  const topHz = Math.min(TOP_HZ, sampleRateHz / 2);
  const order = sampleRateHz < 64_000 ? 3 : 2;
  const [treble, tip = THROUGH] = fitPowerResponse({
    power: frequencyHz => lowPassPower(frequencyHz, f4) ** 2,
    sampleRateHz,
    topHz: topHz,
    zeros: order,
    poles: order,
  }) as [Biquad, Biquad?];
  const bass = highPassPair(highPassPole(f1, sampleRateHz), highPassPole(f1, sampleRateHz));
  // The zero at 0 Hz is divided out, so that what is fitted is above 0 everywhere.
  const [f3Fit] = fitPowerResponse({
    power: frequencyHz =>
      frequencyHz === 0
        ? (sampleRateHz / (2 * Math.PI * f3)) ** 2
        : highPassPower(frequencyHz, f3) / chordSquared(frequencyHz, sampleRateHz),
    sampleRateHz,
    topHz,
    zeros: 0,
    poles: 1,
  }) as [Biquad];
  const middle = highPassPair(highPassPole(f2, sampleRateHz), -f3Fit.a1);
  const c = [treble, tip, bass] as const;
  const cAtReference = powerGain(c, REFERENCE_HZ, sampleRateHz);
  const middleAtReference = powerGain([middle], REFERENCE_HZ, sampleRateHz);
  return {
    c: [scaleBiquad(treble, 1 / Math.sqrt(cAtReference)), tip, bass],
    aAfterC: scaleBiquad(middle, 1 / Math.sqrt(middleAtReference)),
  };
}

/** X = |1 - z^-1|^2 on the unit circle. */
const chordSquared = (frequencyHz: number, sampleRateHz: number): number =>
  4 * Math.sin((Math.PI * frequencyHz) / sampleRateHz) ** 2;

/** The pole p of (1 - z^-1) / (1 - p z^-1) whose power is X / (X + d) up to a factor: (1 - p)^2 = p d. */
function highPassPole(poleHz: number, sampleRateHz: number): number {
  const d = ((2 * Math.PI * poleHz) / sampleRateHz) ** 2;
  return 1 + d / 2 - Math.sqrt(d + (d * d) / 4);
}

/** Two first-order high-passes in one section; the gain is set by the caller at 1 kHz. */
const highPassPair = (p: number, q: number): Biquad => ({
  b0: 1,
  b1: -2,
  b2: 1,
  a1: -(p + q),
  a2: p * q,
});
