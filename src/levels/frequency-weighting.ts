/**
 * A- and C-weighting as IEC 61672-1:2013 defines them: the analogue curves behind every dB(A) and
 * dB(C) of the project. Z-weighting is 0 dB everywhere and needs no function.
 *
 * Source: IEC 61672-1:2013, 5.5 and Annex E (the poles in closed form are those of the 2002
 * edition, 5.4.6 to 5.4.11). Checked against its Table 3 in
 * `tests/levels/frequency-weighting.test.ts`. The digital filters are in `weighting-filter.ts`.
 *
 * @module
 */
import { powerToDb } from '../signal/decibels.js';

/** Weightings are 0 dB here by definition, in Hz. */
export const REFERENCE_HZ = 1000;

/** The poles of the analogue weightings in Hz: f1 and f4 double (A and C), f2 and f3 single (A). */
export const WEIGHTING_POLES_HZ = weightingPolesHz();

/**
 * Power gain of the C-weighting, 1 at 1 kHz.
 *
 * @param frequencyHz - At least 0.
 */
export const cWeightingPower = (frequencyHz: number): number =>
  cShape(frequencyHz) / C_SHAPE_AT_REFERENCE;

/**
 * Power gain of the A-weighting, 1 at 1 kHz.
 *
 * @param frequencyHz - At least 0.
 */
export const aWeightingPower = (frequencyHz: number): number =>
  aShape(frequencyHz) / A_SHAPE_AT_REFERENCE;

/** C-weighting in dB re 1 kHz; `-Infinity` at 0 Hz. */
export const cWeightingDb = (frequencyHz: number): number =>
  powerToDb(cWeightingPower(frequencyHz));

/** A-weighting in dB re 1 kHz; `-Infinity` at 0 Hz. */
export const aWeightingDb = (frequencyHz: number): number =>
  powerToDb(aWeightingPower(frequencyHz));

/** Power gain of one real pole with a zero at 0 Hz. */
export const highPassPower = (frequencyHz: number, poleHz: number): number =>
  frequencyHz ** 2 / (frequencyHz ** 2 + poleHz ** 2);

/** Power gain of one real pole. */
export const lowPassPower = (frequencyHz: number, poleHz: number): number =>
  poleHz ** 2 / (frequencyHz ** 2 + poleHz ** 2);

function cShape(frequencyHz: number): number {
  const { f1, f4 } = WEIGHTING_POLES_HZ;
  return highPassPower(frequencyHz, f1) ** 2 * lowPassPower(frequencyHz, f4) ** 2;
}

function aShape(frequencyHz: number): number {
  const { f2, f3 } = WEIGHTING_POLES_HZ;
  return cShape(frequencyHz) * highPassPower(frequencyHz, f2) * highPassPower(frequencyHz, f3);
}

const C_SHAPE_AT_REFERENCE = cShape(REFERENCE_HZ);
const A_SHAPE_AT_REFERENCE = aShape(REFERENCE_HZ);

/**
 * The poles from the standard's four given frequencies: C is 3 dB down at 10^1.5 and 10^3.9 Hz, and
 * A adds two poles around 10^2.45 Hz.
 */
function weightingPolesHz(): { f1: number; f2: number; f3: number; f4: number } {
  const lowSquared = 10 ** 3;
  const highSquared = 10 ** 7.8;
  const middle = 10 ** 2.45;
  const half = Math.SQRT1_2;
  const b =
    (REFERENCE_HZ ** 2 +
      (lowSquared * highSquared) / REFERENCE_HZ ** 2 -
      half * (lowSquared + highSquared)) /
    (1 - half);
  const c = lowSquared * highSquared;
  const f4 = Math.sqrt((-b + Math.sqrt(b * b - 4 * c)) / 2);
  return {
    // f1 f4 = sqrt(c); the difference form of the standard loses digits.
    f1: Math.sqrt(c) / f4,
    f2: ((3 - Math.sqrt(5)) / 2) * middle,
    f3: ((3 + Math.sqrt(5)) / 2) * middle,
    f4,
  };
}
