/**
 * The gate on sudden loudness: how fast the level at the listener's place may rise, measured on the
 * audio itself.
 *
 * Two rules, both on the A-weighted level over 10 ms at its expected height, in a quiet room:
 *
 * - Nowhere does it rise by more than {@link FASTEST_RISE_DB} within 50 ms: out of the quiet it ends at
 *   75 dB(A). Startle has been measured near its threshold with noise of 80 and 85 dB(A)
 *   (Blumenthal, Psychophysiology 25, 1988, abstract); to stay 5 dB below is our own.
 * - Until the onset of a sound is over, it is no higher than what a raised cosine of that length leaves
 *   of those 75 dB(A).
 *
 * @module
 */
import { amplitudeToDb } from '../signal/decibels.js';
import { QUIET_DBA, risesOf, SHORT_STEP_SECONDS } from './short-levels.js';

/** Most that the level may rise within 50 ms, in dB. */
export const FASTEST_RISE_DB = 45;

/** So high may a level be that rises out of the quiet, in dB(A). */
export const HIGHEST_SHORT_DBA = QUIET_DBA + FASTEST_RISE_DB;

/**
 * A sound begins where it first comes this near to its highest level, in dB: 10 dB less is half as
 * loud; our own. What is softer before it, a click and a pause, would have its fade to itself.
 */
const BEGUN_BELOW_HIGHEST_DB = 10;

/** A sound that begins before this begins at once: the shortest fade at home is as long, in s. */
const LATE_SECONDS = 0.05;

/**
 * The largest rise within 50 ms, in dB.
 *
 * @param levelsDba - Short levels at the listener's place, one a millisecond.
 */
export const largestRiseDb = (levelsDba: Float64Array): number => highestOf(risesOf(levelsDba), 0);

/**
 * By how much a sound is above what its fade may let through, at most, in dB: 0 or less is as it must be.
 *
 * @param levelsDba - Short levels from the sound's start.
 * @param onsetSeconds - Length of the fade.
 */
export function aboveFadeDb(levelsDba: Float64Array, onsetSeconds: number): number {
  const steps = Math.min(levelsDba.length, Math.floor(onsetSeconds / SHORT_STEP_SECONDS));
  let most = -Infinity;
  for (let step = 0; step < steps; step++) {
    const share = 0.5 - 0.5 * Math.cos((Math.PI * (step + 1) * SHORT_STEP_SECONDS) / onsetSeconds);
    const allowedDba = Math.max(QUIET_DBA, HIGHEST_SHORT_DBA + amplitudeToDb(share));
    most = Math.max(most, levelsDba[step]! - allowedDba);
  }
  return most;
}

/**
 * When a sound begins to be heard, in s: before, it is {@link BEGUN_BELOW_HIGHEST_DB} and more below its
 * highest level. 0 when that is at once, and for silence.
 *
 * @param levelsDb - Short levels re anything.
 */
export function beginsAtSeconds(levelsDb: Float64Array): number {
  const from = highestOf(levelsDb, -Infinity) - BEGUN_BELOW_HIGHEST_DB;
  if (from === -Infinity) return 0;
  const atSeconds = levelsDb.findIndex(levelDb => levelDb >= from) * SHORT_STEP_SECONDS;
  return atSeconds < LATE_SECONDS ? 0 : atSeconds;
}

const highestOf = (values: Float64Array, atLeast: number): number =>
  values.reduce((highest, value) => Math.max(highest, value), atLeast);
