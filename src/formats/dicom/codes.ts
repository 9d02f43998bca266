/**
 * What becomes of elements that could tell who was scanned and when: codes that are good for nothing but
 * telling one from another, and times of the day.
 *
 * @module
 */

/** Primes and offsets of the 32-bit FNV-1a hash (draft-eastlake-fnv), the second seeded differently. */
const PRIME = 0x01000193;
const OFFSETS = [0x811c9dc5, 0x050c5d1f] as const;

const SECONDS_PER_DAY = 86_400;

/** 16 characters that differ for different texts and do not give them away. */
export function codeOf(text: string): string {
  return OFFSETS.map(offset => {
    let hash: number = offset;
    for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), PRIME);
    return (hash >>> 0).toString(16).padStart(8, '0');
  }).join('');
}

/** Seconds since midnight of a time `HHMMSS.ffffff`, also behind a date; undefined when there is none. */
export function timeOfDaySeconds(text: string): number | undefined {
  const match = /^(?:\d{8})?(\d{2})(\d{2})(\d{2}(?:\.\d{1,6})?)(?:[+-]\d{4})?$/.exec(text.trim());
  if (match === null) return undefined;
  const seconds = Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3]);
  return seconds <= SECONDS_PER_DAY ? seconds : undefined;
}

/** Slices excited at once, as one sequence writes them into its comments: `Unaliased MB3/PE3`. */
export function multibandOfComment(text: string): number | undefined {
  const match = /\bMB(\d{1,2})\//.exec(text);
  return match === null ? undefined : Number(match[1]);
}
