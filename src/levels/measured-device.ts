/**
 * A family's device that staff measured with a sound level meter: the voice reference at the child's
 * place, at the volume that they marked. It narrows the interval of every level at home, and so
 * allows more below the same limit.
 *
 * It holds for one device at one mark, so it is stated family by family, never for a whole study.
 *
 * @module
 */
import { UserError } from '../errors.js';
import { METERED_DB, VOICE_DBA } from './limits.js';
import type { LevelRange } from './scan-levels.js';

export interface MeasuredDevice {
  /** LAeq of the voice reference at the listener's place, dBA. */
  readonly voiceDba: number;
  /** What plays, for example the make of a tablet. */
  readonly device: string;
  /** Who measured. */
  readonly by: string;
  /** `YYYY-MM-DD`. */
  readonly date: string;
}

/**
 * Levels of the voice reference that staff may mark, in dBA: ordinary talk, and as far from it as a
 * coarse volume control leaves no choice. A kit is built around talk: with another mark it would be
 * too loud for whoever sets the volume by ear after all.
 */
export const MARKED_VOICE_DBA = {
  min: VOICE_DBA.expected - 3,
  max: VOICE_DBA.expected + 3,
} as const;

/**
 * Level of the voice reference at the listener's place, once the volume is set.
 *
 * @param where - Place of the statement, for messages.
 * @throws {UserError} `UNSAFE`: what was measured is not the level of talk.
 */
export function voiceLevel(measured: MeasuredDevice | null | undefined, where: string): LevelRange {
  if (measured === undefined || measured === null) return VOICE_DBA;
  const { voiceDba } = measured;
  const { min, max } = MARKED_VOICE_DBA;
  // Not `<` and `>`: NaN must be refused too.
  if (!(voiceDba >= min && voiceDba <= max)) {
    throw new UserError('UNSAFE', 'The measured volume is not that of ordinary talk.', [
      {
        where,
        found: `a voice reference of ${voiceDba} dBA`,
        allowed: `${min} to ${max} dBA: a kit is built around talk`,
        fix: `Set the volume so that the meter shows about ${VOICE_DBA.expected} dBA, mark it, and measure again.`,
      },
    ]);
  }
  return { low: voiceDba - METERED_DB, expected: voiceDba, high: voiceDba + METERED_DB };
}
