/**
 * Sharpness: how much of a sound's loudness lies at high frequencies, in acum. 1 acum is narrow-band
 * noise at 1 kHz, 920 to 1080 Hz, of 60 dB.
 *
 * Source: DIN 45692:2009, clause 5: the centre of gravity of the loudness pattern over the
 * critical-band rate, where what lies above 15.8 Bark counts for more. Checked against its tables A.2
 * and A.3 in `tests/levels/sharpness.test.ts`.
 *
 * @module
 */
import { PATTERN_POINTS, POINTS_PER_BARK } from './specific-loudness.js';

/** From here on the weight rises, in Bark. */
const RISE_FROM_BARK = 15.8;

/**
 * Makes the reference sound 1 acum. The standard leaves it to the loudness program within 0.105 to
 * 0.115; this is what the programs of this folder need.
 */
const ACUM_PER_BARK = 0.1078;

/** Weight of each point of the pattern times its place, in acum. */
const WEIGHTS = Float64Array.from({ length: PATTERN_POINTS }, (_, i) => {
  const bark = (i + 1) / POINTS_PER_BARK;
  const weight = bark < RISE_FROM_BARK ? 1 : 0.15 * Math.exp(0.42 * (bark - RISE_FROM_BARK)) + 0.85;
  return ACUM_PER_BARK * weight * bark;
});

/**
 * Sharpness of a loudness pattern, in acum; 0 for silence. Of a pattern that is the mean over time it
 * is the mean of the moments' sharpness, each counting by its loudness.
 *
 * @param specific - Specific loudness in sone/Bark at 0.1, 0.2, ... 24.0 Bark, shape `[240]`.
 * @throws {RangeError} Another number of points.
 */
export function sharpnessAcum(specific: Float64Array): number {
  if (specific.length !== PATTERN_POINTS) {
    throw new RangeError(`specific must hold ${PATTERN_POINTS} values, got ${specific.length}`);
  }
  let [sum, weighted] = [0, 0];
  for (let i = 0; i < PATTERN_POINTS; i++) {
    sum += specific[i]!;
    weighted += WEIGHTS[i]! * specific[i]!;
  }
  return sum === 0 ? 0 : weighted / sum;
}
