/**
 * Sizes of type, tried from the largest until a document has no more pages than it should.
 *
 * @module
 */
import type { Paper } from './paper.js';

/** The document at the first scale at which it fits; at the last one where none does. */
export function firstThatFits(
  scales: readonly number[],
  mostPages: number,
  write: (scale: number) => Paper,
): Paper {
  let paper: Paper | undefined;
  for (const scale of scales) {
    paper = write(scale);
    if (paper.pages <= mostPages) break;
  }
  if (paper === undefined) throw new RangeError('no size of type to try');
  return paper;
}
