/**
 * K-weighting: the two filters through which loudness is measured.
 *
 * Source: ITU-R BS.1770-5, Annex 1, tables 1 and 2, which give coefficients for 48 kHz. For other
 * rates the same analogue filters (their corner frequencies, gain and Q follow from those
 * coefficients) go through the bilinear transform anew, as the recommendation asks.
 *
 * @module
 */
import type { Biquad } from '../signal/biquad.js';

/** The analogue shelf behind table 1: corner in Hz, gain in dB, quality. */
const SHELF = { hz: 1681.974450955533, gainDb: 3.999843853973347, q: 0.7071752369554196 } as const;

/** Exponent of the shelf's gain at its corner, from table 1. */
const SHELF_MIDDLE = 0.4996667741545416;

/** The analogue high-pass behind table 2: corner in Hz, quality. */
const HIGH_PASS = { hz: 38.13547087602444, q: 0.5003270373238773 } as const;

/**
 * Shelf and high-pass in series.
 *
 * @param sampleRateHz - From 8 000 to 192 000.
 */
export function kWeightingSections(sampleRateHz: number): readonly [Biquad, Biquad] {
  return [shelf(sampleRateHz), highPass(sampleRateHz)];
}

function shelf(sampleRateHz: number): Biquad {
  const k = Math.tan((Math.PI * SHELF.hz) / sampleRateHz);
  const top = 10 ** (SHELF.gainDb / 20);
  const middle = top ** SHELF_MIDDLE;
  const a0 = 1 + k / SHELF.q + k * k;
  return {
    b0: (top + (middle * k) / SHELF.q + k * k) / a0,
    b1: (2 * (k * k - top)) / a0,
    b2: (top - (middle * k) / SHELF.q + k * k) / a0,
    a1: (2 * (k * k - 1)) / a0,
    a2: (1 - k / SHELF.q + k * k) / a0,
  };
}

/** Its zeros are not scaled: table 2 prints 1, -2, 1. */
function highPass(sampleRateHz: number): Biquad {
  const k = Math.tan((Math.PI * HIGH_PASS.hz) / sampleRateHz);
  const a0 = 1 + k / HIGH_PASS.q + k * k;
  return {
    b0: 1,
    b1: -2,
    b2: 1,
    a1: (2 * (k * k - 1)) / a0,
    a2: (1 - k / HIGH_PASS.q + k * k) / a0,
  };
}
