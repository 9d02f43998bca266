/**
 * The word that was probably meant.
 *
 * @module
 */

/** Longest words that are compared; a longer one is no slip of the finger. */
const MAX_LENGTH = 60;

/**
 * The allowed word nearest to `word` in single-letter edits, upper and lower case being equal, when
 * at most a third of its letters (and at least two) would have to change.
 */
export function didYouMean(word: string, allowed: readonly string[]): string | undefined {
  if (word.length > MAX_LENGTH) return undefined;
  let best: string | undefined;
  let bestDistance = Math.max(2, Math.floor(word.length / 3)) + 1;
  for (const candidate of allowed) {
    // As many letters would have to be put in or left out.
    if (Math.abs(word.length - candidate.length) >= bestDistance) continue;
    const distance = editDistance(word.toLowerCase(), candidate.toLowerCase());
    if (distance < bestDistance) [best, bestDistance] = [candidate, distance];
  }
  return best;
}

/** Insertions, deletions and substitutions that turn `a` into `b` (Levenshtein 1966). */
function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const substitute = row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(substitute, row[j]! + 1, next[j - 1]! + 1));
    }
    row = next;
  }
  return row[b.length]!;
}
