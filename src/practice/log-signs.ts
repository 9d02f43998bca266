/**
 * Signs in a family's log.
 *
 * A word that is not in the list makes its session doubtful. A red sign is looked for harder than
 * any other, also in words that are misspelt or stand in the wrong place: overlooking one could hurt
 * a child, a false alarm costs a phone call.
 *
 * @module
 */
import { didYouMean } from '../protocol/did-you-mean.js';
import { quote } from '../protocol/quote.js';
import { RED_SIGNS, SIGNS, type Sign } from './log-entry.js';
import {
  HIGHEST_RATING,
  type Reading,
  type Remark,
  understood,
  withoutGuard,
} from './log-cells.js';

/** Marks that people put between words; `;` is the right one. */
const BETWEEN = /[;,|/+&\r\n]+/;

/** How a person says that there was no sign, on paper. */
const NONE = 'none';

/** Most words of a cell whose spelling is looked into: twice the list. */
const MAX_SPELT = 2 * SIGNS.length;

/** Most unknown words of a cell that are named. */
const MAX_NAMED = 3;

const isRed = (sign: Sign): boolean => RED_SIGNS.some(red => red === sign);

/** Whether one of the signs stops all practice. */
export const hasRedSign = (signs: readonly Sign[]): boolean => signs.some(isRed);

/** Signs in the order of the list, each once. */
export function readSigns(raw: string): Reading<readonly Sign[]> {
  const text = withoutGuard(raw);
  if (text === '') return { value: [], remark: null };
  if (text.toLowerCase() === NONE) return understood(raw, [], 'no sign');
  const found = new Set<Sign>();
  const unknown: string[] = [];
  let isExact = text === raw.trim();
  for (const [i, part] of text.split(BETWEEN).entries()) {
    const word = part.trim();
    const plain = withUnderscores(word);
    const sign = SIGNS.find(known => known === plain);
    if (sign !== undefined) found.add(sign);
    else if (word !== '') {
      unknown.push(word);
      for (const inside of signsInside(plain)) found.add(inside);
      const meant = i < MAX_SPELT ? didYouMean(plain, SIGNS) : undefined;
      if (meant !== undefined && isRed(meant as Sign)) found.add(meant as Sign);
    }
    isExact &&= word === sign;
  }
  // Marks without a word say as little as an unknown word.
  if (found.size === 0 && unknown.length === 0) unknown.push(raw);
  const value = SIGNS.filter(sign => found.has(sign));
  if (unknown.length > 0) return { value, remark: unknownWords(raw, unknown, value) };
  if (isExact && /^[^,|/+&\r\n]*$/.test(text)) return { value, remark: null };
  return {
    value,
    remark: { found: quote(raw), used: `read as ${value.join('; ')}`, isDoubtful: false },
  };
}

/** Whether a cell names a red sign, in a list or among other words. */
export function namesRedSign(text: string): boolean {
  return hasRedSign(signsInside(withUnderscores(text)));
}

/**
 * Whether a cell is a list with a red sign or a red rating in it; sentences do not count.
 *
 * @param redMark - Rating from which on practice stops.
 */
export function listsRed(text: string, redMark: number): boolean {
  return text.split(BETWEEN).some(part => {
    const word = withUnderscores(part);
    return (
      RED_SIGNS.some(red => red === word) || (/^\d{1,2}$/.test(word) && isRedMark(word, redMark))
    );
  });
}

const isRedMark = (digits: string, redMark: number): boolean =>
  Number(digits) >= redMark && Number(digits) <= HIGHEST_RATING;

function unknownWords(raw: string, unknown: readonly string[], kept: readonly Sign[]): Remark {
  const words = unknown.slice(0, MAX_NAMED).map(quote);
  const more = unknown.length > words.length ? ` and ${unknown.length - words.length} more` : '';
  const signs = kept.length === 0 ? 'no sign' : kept.join('; ');
  return {
    found:
      words[0] === quote(raw)
        ? `${quote(raw)}, which is not in the list of signs`
        : `${quote(raw)}; not in the list of signs: ${words.join(', ')}${more}`,
    used: `${signs}; the session cannot count as comfortable`,
    isDoubtful: true,
  };
}

/** Small letters and digits with `_` between words. */
function withUnderscores(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '_')
    .replace(/^_|_$/g, '');
}

/** Signs that stand whole among other words. */
function signsInside(words: string): Sign[] {
  return SIGNS.filter(sign => `_${words}_`.includes(`_${sign}_`));
}
