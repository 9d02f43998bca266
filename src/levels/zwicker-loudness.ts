/**
 * Loudness of steady sounds: how loud people find them, in sone. 1 sone is a 1 kHz tone of 40 dB; what
 * sounds twice as loud has twice the sone.
 *
 * Source: ISO 532-1:2017, clause 5 (Zwicker's method for stationary sounds). Checked against the test
 * signals of its Annex B in `tests/levels/zwicker-loudness.test.ts`.
 *
 * @module
 */
import { coreLoudness, CRITICAL_BANDS, requireBandLevels } from './core-loudness.js';
import type { SoundField } from './core-loudness.js';
import { PATTERN_POINTS, spreadLoudness } from './specific-loudness.js';

export interface LoudnessPattern {
  /** Loudness in sone; 0 for what is below the threshold in quiet. */
  readonly sone: number;
  /** Specific loudness in sone/Bark at 0.1, 0.2, ... 24.0 Bark, shape `[240]`. */
  readonly specific: Float64Array;
}

/**
 * Loudness of a steady sound by its third octaves.
 *
 * @param levelsDb - Levels of the 28 bands from 25 Hz to 12.5 kHz in dB re 20 uPa, at most 120;
 * `-Infinity` for silence.
 * @param field - Free unless given.
 * @throws {RangeError} Not 28 levels, or one that is NaN or above 120 dB.
 *
 * @example
 * const levelsDb = new Float64Array(28).fill(-Infinity);
 * levelsDb[16] = 40; // 1 kHz
 * zwickerLoudness(levelsDb).sone; // 0.93: what a tone leaks through filters adds the rest of its 1 sone
 */
export function zwickerLoudness(
  levelsDb: ArrayLike<number>,
  field: SoundField = 'free',
): LoudnessPattern {
  requireBandLevels(levelsDb);
  const core = new Float64Array(CRITICAL_BANDS);
  const specific = new Float64Array(PATTERN_POINTS);
  coreLoudness(levelsDb, field, core);
  return { sone: spreadLoudness(core, specific), specific };
}

/** Loudness level in phon of a loudness in sone (ISO 532-1:2017, 5.3); at least 3. */
export function loudnessLevelPhon(sone: number): number {
  return sone >= 1 ? 40 + 10 * Math.log2(sone) : Math.max(3, 40 * (sone + 0.0005) ** 0.35);
}
