/**
 * Slices of a 2D scan with one excitation each: as many as fit share a repetition time, spread over it
 * evenly; where not all fit, they are played in several passes, in the end one after another.
 *
 * @module
 */
import { numberField, type Scan, type Scanner } from '../protocol/scan.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import type { Line } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/**
 * What `play` makes of the largest number of slices that it can play in one repetition time.
 *
 * @throws {UnplayableError} Not even one slice fits.
 */
export function playMostSlices<T>(
  scan: Scan,
  scanner: Scanner,
  play: (slicesPerRepetition: number, limits: GradientLimits) => T,
): T {
  const slices = numberField(scan, 'NumberOfSlices');
  for (let passes = 1; ; passes++) {
    const together = Math.ceil(slices / passes);
    try {
      return playGentlyIfPossible(scanner, limits => play(together, limits));
    } catch (error) {
      if (!(error instanceof UnplayableError) || together === 1) throw error;
    }
  }
}

/**
 * The rates that slices in turn make: of excitations, and of repetitions where several share one.
 *
 * @param what - What is repeated, for example `lines`.
 */
export function sliceRhythm(repetitionSeconds: number, excitations: number, what: string): Line[] {
  if (excitations === 1) {
    return [
      { hertz: 1 / repetitionSeconds, cause: `excitations, 1/${formatTime(repetitionSeconds)}` },
    ];
  }
  return [
    {
      hertz: excitations / repetitionSeconds,
      cause: `excitations, ${excitations} in ${formatTime(repetitionSeconds)}`,
    },
    { hertz: 1 / repetitionSeconds, cause: `${what}, 1/${formatTime(repetitionSeconds)}` },
  ];
}
