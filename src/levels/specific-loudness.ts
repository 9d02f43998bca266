/**
 * Specific loudness: the pattern of loudness over the critical-band rate, and its area.
 *
 * Each critical band excites the ones above it too. Where the slope of a louder lower band lies above
 * a band's own core loudness, it masks that band in part or wholly. Slopes are straight pieces whose
 * steepness depends on height and band (`UPPER_SLOPES`); towards lower frequencies patterns are cut off
 * vertically.
 *
 * Source: ISO 532-1:2017, 5.2 and Annex A.
 *
 * @module
 */
import { CRITICAL_BANDS } from './core-loudness.js';
import { UPPER_LIMITS_BARK, UPPER_SLOPES } from './zwicker-tables.js';

/** Points of the pattern, at 0.1, 0.2, ... 24.0 Bark. */
export const PATTERN_POINTS = 240;

/** Points per Bark. */
export const POINTS_PER_BARK = 10;

/** Added to the limits of the bands, in Bark, so that a point on a limit belongs to the band below it. */
const LIMIT_MARGIN_BARK = 1e-4;

const LIMITS = Float64Array.from(UPPER_LIMITS_BARK, limit => limit + LIMIT_MARGIN_BARK);

const FROM_SONE = Float64Array.from(UPPER_SLOPES, ({ fromSone }) => fromSone);

const COLUMNS = UPPER_SLOPES[0]!.slopes.length;

const SLOPES = Float64Array.from(UPPER_SLOPES.flatMap(({ slopes }) => slopes));

/**
 * Total loudness of core loudness.
 *
 * @param core - sone/Bark, shape `[21]`.
 * @param pattern - Where the specific loudness goes, if given: sone/Bark, shape `[240]`.
 * @returns Loudness in sone.
 */
export function spreadLoudness(core: Float64Array, pattern?: Float64Array): number {
  let total = 0;
  let fromBark = 0;
  let height = 0;
  let piece = 0;
  let point = 0;
  for (let band = 0; band < CRITICAL_BANDS; band++) {
    const limit = LIMITS[band]!;
    const own = core[band]!;
    const column = Math.min(Math.max(band - 1, 0), COLUMNS - 1);
    while (fromBark < limit) {
      const isSlope = height > own;
      let toBark = limit;
      let end = own;
      let slope = 0;
      if (isSlope) {
        while (FROM_SONE[piece]! >= height) piece += 1;
        slope = SLOPES[piece * COLUMNS + column]!;
        end = Math.max(FROM_SONE[piece]!, own);
        toBark = fromBark + (height - end) / slope;
        if (toBark > limit) {
          toBark = limit;
          end = height - (limit - fromBark) * slope;
        }
      } else if (height < own) {
        height = own;
        piece = 0;
      }
      total += ((height + end) / 2) * (toBark - fromBark);
      if (pattern !== undefined) {
        for (; point < PATTERN_POINTS && (point + 1) / POINTS_PER_BARK <= toBark; point++) {
          pattern[point] = height - ((point + 1) / POINTS_PER_BARK - fromBark) * slope;
        }
      }
      fromBark = toBark;
      height = end;
    }
  }
  return total;
}
