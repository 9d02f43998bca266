/**
 * Structural scans play gently where their timing leaves room, and at full strength where not.
 *
 * @module
 */
import type { Scanner } from '../protocol/scan.js';
import { fullLimits, type GradientLimits, normalLimits, UnplayableError } from './hardware.js';

/**
 * What `play` makes of the gentlest limits that suffice: the scanner's normal gradient mode, the
 * middle between that and its full strength, or full strength.
 *
 * @throws {UnplayableError} Not even full strength suffices.
 */
export function playGentlyIfPossible<T>(scanner: Scanner, play: (limits: GradientLimits) => T): T {
  const normal = normalLimits(scanner);
  const full = fullLimits(scanner);
  const middle = {
    amplitude: (normal.amplitude + full.amplitude) / 2,
    slewRate: (normal.slewRate + full.slewRate) / 2,
  };
  for (const limits of [normal, middle]) {
    try {
      return play(limits);
    } catch (error) {
      if (!(error instanceof UnplayableError)) throw error;
    }
  }
  return play(full);
}
