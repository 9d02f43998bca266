/**
 * Dither: noise added before rounding, so that what is lost is noise and never distortion.
 *
 * Triangular between -1 and 1 step, as two uniform numbers: makes the error's mean and power
 * independent of the signal (Lipshitz, Wannamaker and Vanderkooy, J. Audio Eng. Soc. 40, 1992).
 *
 * @module
 */
import { seededRandom } from './random.js';

/** Returns a source of triangular noise in units of one quantisation step, fixed by its seed. */
export function triangularDither(seed: string): () => number {
  const random = seededRandom(seed);
  return () => random.uniform() - random.uniform();
}
