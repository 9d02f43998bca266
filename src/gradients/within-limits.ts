/**
 * Structural scans play gently where their timing leaves room, and at full strength where not.
 *
 * @module
 */
import type { Scanner } from '../protocol/scan.js';
import { fullLimits, type GradientLimits, normalLimits, UnplayableError } from './hardware.js';

/**
 * What `play` makes of the scanner's normal gradient mode, or of its full strength if the former is
 * too slow.
 *
 * @throws {UnplayableError} Not even full strength suffices.
 */
export function playGentlyIfPossible<T>(scanner: Scanner, play: (limits: GradientLimits) => T): T {
  try {
    return play(normalLimits(scanner));
  } catch (error) {
    if (!(error instanceof UnplayableError)) throw error;
    return play(fullLimits(scanner));
  }
}
