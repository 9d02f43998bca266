/**
 * Names and notes of a study inside sentences of another direction: marks around them (U+200E, U+200F)
 * keep their signs and the numbers beside them in place (Unicode bidirectional algorithm, UAX 9, 2.6).
 *
 * @module
 */
import type { Texts } from './texts.js';

const LEFT_TO_RIGHT = '\u200e';
const RIGHT_TO_LEFT = '\u200f';

/** The first letter that has a direction decides, as for `dir="auto"` in HTML. */
const STARTS_RIGHT_TO_LEFT = /^\P{L}*[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff]/u;

/** A text that reads in its own direction and leaves what stands around it in the document's. */
export function inOwnDirection(text: string, { direction }: Pick<Texts, 'direction'>): string {
  const own = STARTS_RIGHT_TO_LEFT.test(text) ? RIGHT_TO_LEFT : LEFT_TO_RIGHT;
  const around = direction === 'rtl' ? RIGHT_TO_LEFT : LEFT_TO_RIGHT;
  return own === around ? text : `${around}${own}${text}${own}${around}`;
}
