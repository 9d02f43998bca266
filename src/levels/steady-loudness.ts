/**
 * Loudness of a sound that is taken as steady, whatever it does in time.
 *
 * Source: ISO 532-1:2017, clause 5, with band levels measured by the standard's filters.
 *
 * @module
 */
import type { Sound } from '../signal/sound.js';
import type { SoundField } from './core-loudness.js';
import { bandLevelDb, FRAME_RATE_HZ, ThirdOctaveFilters } from './third-octave-filters.js';
import { type LoudnessPattern, zwickerLoudness } from './zwicker-loudness.js';
import { LOUDNESS_BANDS_HZ } from './zwicker-tables.js';

/** Listening starts here, in s, when the filters have settled (ISO 532-1:2017, Annex B.1). */
const SETTLING_SECONDS = 0.2;

const BANDS = LOUDNESS_BANDS_HZ.length;

/**
 * Mean band levels of a sound from 0.2 s on.
 *
 * @param sound - Samples in Pa, at 32 to 192 kHz.
 * @returns Levels of the 28 bands from 25 Hz to 12.5 kHz in dB re 20 uPa.
 * @throws {RangeError} A sample rate outside that range, or the sound lasts 0.2 s or less.
 */
export function steadyBandLevelsDb(sound: Sound): Float64Array {
  const filters = new ThirdOctaveFilters(sound.sampleRateHz);
  const sums = new Float64Array(BANDS);
  const skip = SETTLING_SECONDS * FRAME_RATE_HZ;
  let frames = 0;
  for (const block of sound.blocks()) {
    const squares = filters.push(block);
    for (let at = 0; at < squares.length; at += BANDS, frames++) {
      if (frames < skip) continue;
      for (let band = 0; band < BANDS; band++) sums[band]! += squares[at + band]!;
    }
  }
  if (frames <= skip) {
    throw new RangeError(
      `sound must last more than ${SETTLING_SECONDS} s, got ${frames / FRAME_RATE_HZ}`,
    );
  }
  return sums.map(sum => bandLevelDb(sum / (frames - skip)));
}

/**
 * Loudness of the mean band levels.
 *
 * @param field - Free unless given.
 * @throws {RangeError} As {@link steadyBandLevelsDb}, or a band above 120 dB.
 */
export const steadyLoudness = (sound: Sound, field: SoundField = 'free'): LoudnessPattern =>
  zwickerLoudness(steadyBandLevelsDb(sound), field);
