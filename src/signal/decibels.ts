/**
 * Decibels and ratios.
 *
 * @module
 */

/** Amplitude ratio -> dB. Zero gives `-Infinity`. */
export const amplitudeToDb = (ratio: number): number => 20 * Math.log10(ratio);

/** Power (or mean-square) ratio -> dB. Zero gives `-Infinity`. */
export const powerToDb = (ratio: number): number => 10 * Math.log10(ratio);

/** dB -> amplitude ratio. */
export const dbToAmplitude = (db: number): number => 10 ** (db / 20);

/** dB -> power ratio. */
export const dbToPower = (db: number): number => 10 ** (db / 10);

/**
 * Mean square of a full-scale sine (peak 1.0). Digital levels in this project are dB re this value
 * ("dBFS" as AES17 and IEC 61606 define it), so that a full-scale sine reads 0 dBFS.
 */
export const FULL_SCALE_MEAN_SQUARE = 0.5;

/** Mean square of samples (1.0 = digital full scale) -> dBFS re a full-scale sine. */
export const meanSquareToDbfs = (meanSquare: number): number =>
  powerToDb(meanSquare / FULL_SCALE_MEAN_SQUARE);
