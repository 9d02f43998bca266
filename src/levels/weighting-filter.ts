/**
 * Digital A- and C-weighting that hold the analogue curves to the top of the band, for any sample
 * rate from 8 to 192 kHz, designed when the meter starts.
 *
 * The bilinear transform of the analogue filter under-reads the treble (-6 dB at 16 kHz and
 * 48 kHz): the wrong direction for a safety tool. Here only the poles far below the band's top are
 * placed by formula, and the rest of the curve is fitted:
 *
 * - f1 (double) and f2: first-order high-passes whose power is X / (X + d) up to a factor, with
 *   X = 4 sin^2(w / 2) and d = (2 pi f / fs)^2, which matches the analogue pole to the fourth order;
 * - f3: one pole fitted to the analogue pole;
 * - f4 (double): three zeros and three poles fitted to the analogue low-pass.
 *
 * A is C with one more section, so both come from one cascade of four sections, each of the simplest
 * kind that does. Largest error against the analogue curve in dB, from 10 Hz to 20 kHz or to half the
 * sample rate, where that is less (`tests/levels/weighting-filter.test.ts` keeps the table true):
 *
 * | sample rate, Hz |      A |      C |
 * |----------------:|-------:|-------:|
 * |           8 000 | -0.064 | -0.003 |
 * |          11 025 | -0.036 |  0.005 |
 * |          16 000 | -0.019 |  0.011 |
 * |          22 050 |  0.022 |  0.019 |
 * |          32 000 |  0.027 |  0.026 |
 * |          44 100 |  0.004 |  0.003 |
 * |          48 000 | -0.001 |  0.001 |
 * |          96 000 |  0.000 |  0.000 |
 * |         192 000 |  0.000 |  0.000 |
 *
 * At all other rates in between it is below 0.07 dB. Above 20 kHz, where the standard has no limits,
 * the filters of high rates read up to 3 dB high.
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

/** The sections of both weightings, in series. */
export interface WeightingFilter {
  /** With the gain that makes the first three, C-weighting, 0 dB at 1 kHz. */
  readonly treble: Biquad;
  /** Of first order: `b2` and `a2` are 0. */
  readonly tip: Biquad;
  /** Zeros 1, -2, 1. */
  readonly bass: Biquad;
  /** Zeros 1, -2, 1; after C-weighting and times `gainA`, makes A-weighting. */
  readonly middle: Biquad;
  /** Amplitude that makes A-weighting 0 dB at 1 kHz. */
  readonly gainA: number;
}

/** Fits count up to here, in Hz: the top of the weightings' tables. */
const TOP_HZ = 20_000;

/** From here on, in Hz, two zeros and poles fit the treble as well as three, and with more certainty. */
const TWO_SUFFICE_HZ = 64_000;

/** A section that does nothing. */
const THROUGH: Biquad = { b0: 1, b1: 0, b2: 0, a1: 0, a2: 0 };

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

/** C-weighting as sections in series, 0 dB at 1 kHz. */
export const cWeightingSections = (sampleRateHz: number): readonly Biquad[] => {
  const { treble, tip, bass } = weightingFilter(sampleRateHz);
  return [treble, tip, bass];
};

/** A-weighting as sections in series, 0 dB at 1 kHz. */
export const aWeightingSections = (sampleRateHz: number): readonly Biquad[] => {
  const { middle, gainA } = weightingFilter(sampleRateHz);
  return [...cWeightingSections(sampleRateHz), scaleBiquad(middle, gainA)];
};

function designWeightingFilter(sampleRateHz: number): WeightingFilter {
  const { f1, f2, f4 } = WEIGHTING_POLES_HZ;
  const order = sampleRateHz < TWO_SUFFICE_HZ ? 3 : 2;
  const [treble, tip = THROUGH] = fitPowerResponse({
    power: frequencyHz => lowPassPower(frequencyHz, f4) ** 2,
    sampleRateHz,
    topHz: topOf(sampleRateHz),
    zeros: order,
    poles: order,
  }) as [Biquad, Biquad?];
  const bassPole = highPassPole(f1, sampleRateHz);
  const bass = highPassPair(bassPole, bassPole);
  const middle = highPassPair(highPassPole(f2, sampleRateHz), fittedF3Pole(sampleRateHz));
  const gainC = 1 / Math.sqrt(powerGain([treble, tip, bass], REFERENCE_HZ, sampleRateHz));
  return {
    treble: scaleBiquad(treble, gainC),
    tip,
    bass,
    middle,
    gainA: 1 / Math.sqrt(powerGain([middle], REFERENCE_HZ, sampleRateHz)),
  };
}

const topOf = (sampleRateHz: number): number => Math.min(TOP_HZ, sampleRateHz / 2);

/** The zero at 0 Hz is divided out, so that what is fitted is above 0 everywhere. */
function fittedF3Pole(sampleRateHz: number): number {
  const { f3 } = WEIGHTING_POLES_HZ;
  const [section] = fitPowerResponse({
    power: frequencyHz =>
      frequencyHz === 0
        ? (sampleRateHz / (2 * Math.PI * f3)) ** 2
        : highPassPower(frequencyHz, f3) / chordSquared(frequencyHz, sampleRateHz),
    sampleRateHz,
    topHz: topOf(sampleRateHz),
    zeros: 0,
    poles: 1,
  }) as [Biquad];
  return -section.a1;
}

/** X = |1 - z^-1|^2 on the unit circle. */
const chordSquared = (frequencyHz: number, sampleRateHz: number): number =>
  4 * Math.sin((Math.PI * frequencyHz) / sampleRateHz) ** 2;

/** The pole p of (1 - z^-1) / (1 - p z^-1) whose power is X / (X + d) up to a factor: (1 - p)^2 = p d. */
function highPassPole(poleHz: number, sampleRateHz: number): number {
  const d = ((2 * Math.PI * poleHz) / sampleRateHz) ** 2;
  return 1 + d / 2 - Math.sqrt(d + (d * d) / 4);
}

/** Two first-order high-passes in one section. */
const highPassPair = (p: number, q: number): Biquad => ({
  b0: 1,
  b1: -2,
  b2: 1,
  a1: -(p + q),
  a2: p * q,
});
