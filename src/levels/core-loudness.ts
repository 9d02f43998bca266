/**
 * Core loudness: what each critical band contributes by itself, before the bands' patterns spread
 * over each other.
 *
 * Source: ISO 532-1:2017, 5.2 and Annex A: the bands below 315 Hz are corrected by level and added up
 * to three critical bands, the ear's transmission is taken off, and what is above the threshold in
 * quiet becomes sone/Bark by Zwicker's power law.
 *
 * @module
 */
import { powerToDb } from '../signal/decibels.js';
import {
  BANDWIDTH_DB,
  DIFFUSE_FIELD_DB,
  EAR_ATTENUATION_DB,
  LOUDNESS_BANDS_HZ,
  LOW_BAND_CORRECTIONS,
  LOW_BANDS,
  LOW_BANDS_OF_CRITICAL_BAND,
  THRESHOLD_DB,
} from './zwicker-tables.js';

/** How the sound reaches the listener: from the front only, or from everywhere. */
export type SoundField = 'free' | 'diffuse';

/** Critical bands with a core loudness of their own, and the last one, above them, without. */
export const CRITICAL_BANDS = THRESHOLD_DB.length + 1;

/** Loudness of a critical band at threshold, sone/Bark (ISO 532-1:2017, formula in A.2). */
const SONE_AT_THRESHOLD = 0.0635;

/** Share of the threshold that is the ear's own noise. */
const THRESHOLD_FACTOR = 0.25;

/** ln(10) / 10: powers of ten by `Math.exp`, which is a good deal faster than `**`. */
const TENTH_OF_LN10 = Math.LN10 / 10;

/** Level that the threshold is subtracted from: ear and sound field, per field and critical band. */
const TRANSMISSION_DB: Readonly<Record<SoundField, Float64Array>> = {
  free: Float64Array.from(EAR_ATTENUATION_DB, attenuation => -attenuation),
  diffuse: Float64Array.from(
    EAR_ATTENUATION_DB,
    (attenuation, band) => DIFFUSE_FIELD_DB[band]! - attenuation,
  ),
};

/** Core loudness of a band at its threshold, without the threshold factor. */
const SCALE = Float64Array.from(
  THRESHOLD_DB,
  threshold => SONE_AT_THRESHOLD * 10 ** (0.025 * threshold),
);

/**
 * Core loudness of third-octave levels.
 *
 * @param levelsDb - Levels of the bands from 25 Hz to 12.5 kHz in dB re 20 uPa, shape `[28]`;
 * `-Infinity` for silence.
 * @param core - Where the result goes: sone/Bark, shape `[21]`, the last 0.
 */
export function coreLoudness(
  levelsDb: ArrayLike<number>,
  field: SoundField,
  core: Float64Array,
): void {
  const transmission = TRANSMISSION_DB[field];
  const lowBands: number = LOW_BANDS_OF_CRITICAL_BAND.length;
  let band = 0;
  for (let i = 0; i < lowBands; i++) {
    let power = 0;
    for (const end = band + LOW_BANDS_OF_CRITICAL_BAND[i]!; band < end; band++) {
      power += Math.exp(TENTH_OF_LN10 * correctedDb(levelsDb[band]!, band));
    }
    core[i] = coreOf(powerToDb(power) + transmission[i]!, i);
  }
  for (let i = lowBands; i < THRESHOLD_DB.length; i++) {
    core[i] = coreOf(levelsDb[i + LOW_BANDS - lowBands]! + transmission[i]!, i);
  }
  core[0]! *= Math.min(1, 0.4 + 0.32 * core[0]! ** 0.2);
  core[THRESHOLD_DB.length] = 0;
}

/** A level of a low band, less what the ear is less sensitive there than at 1 kHz. */
function correctedDb(levelDb: number, band: number): number {
  const last = LOW_BAND_CORRECTIONS.length - 1;
  for (let range = 0; range < last; range++) {
    const { upToDb, correctionDb } = LOW_BAND_CORRECTIONS[range]!;
    const corrected = levelDb + correctionDb[band]!;
    if (corrected <= upToDb) return corrected;
  }
  return levelDb + LOW_BAND_CORRECTIONS[last]!.correctionDb[band]!;
}

function coreOf(levelDb: number, band: number): number {
  const threshold = THRESHOLD_DB[band]!;
  if (!(levelDb > threshold)) return 0;
  const above = Math.exp(TENTH_OF_LN10 * (levelDb - BANDWIDTH_DB[band]! - threshold));
  const root = Math.sqrt(Math.sqrt(1 - THRESHOLD_FACTOR + THRESHOLD_FACTOR * above));
  return Math.max(0, SCALE[band]! * (root - 1));
}

/** @throws {RangeError} Not 28 levels, or one that is NaN or above 120 dB, where the tables end. */
export function requireBandLevels(levelsDb: ArrayLike<number>): void {
  const bands = LOUDNESS_BANDS_HZ.length;
  if (levelsDb.length !== bands) {
    throw new RangeError(`levelsDb must hold ${bands} levels, got ${levelsDb.length}`);
  }
  for (let band = 0; band < bands; band++) {
    const levelDb = levelsDb[band]!;
    if (!(levelDb <= MAX_BAND_DB)) {
      throw new RangeError(
        `levelsDb must be at most ${MAX_BAND_DB} dB, got ${levelDb} in band ${band + 1}`,
      );
    }
  }
}

/** Where the method ends, in dB (ISO 532-1:2017, table A.3). */
const MAX_BAND_DB = 120;
