/**
 * Sizes of type, tried from the largest until a document has no more pages than it should.
 *
 * @module
 */
import type { Paper } from './paper.js';

/**
 * The document at the first scale at which it fits; at the last one where none does.
 *
 * @param write - Writes it at a scale; a trial only counts its pages.
 */
export function firstThatFits(
  scales: readonly number[],
  mostPages: number,
  write: (scale: number, trial: boolean) => Paper,
): Paper {
  const fits = scales.find(scale => write(scale, true).pages <= mostPages) ?? scales.at(-1);
  if (fits === undefined) throw new RangeError('no size of type to try');
  return write(fits, false);
}
