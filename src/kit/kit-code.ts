/**
 * Kit codes: the only name a kit has. A code follows from the study's seed and the family's id in
 * the study, and tells nothing about either.
 *
 * Eight characters in two groups, `7KMP-4XCW`: seven from a hash, one check character of ISO/IEC
 * 7064 MOD 37-2, which finds every wrong character and every swap of two neighbours. Of
 * characters that look alike at most one occurs (0 O Q, 1 I L, 2 Z, 5 S, 6 G, 8 B, U V, M N), and no
 * vowel, so that no words appear.
 *
 * @module
 */

/** Characters of MOD 37-2 by value. */
const VALUES = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*';

/** Characters of a code. */
const ALPHABET = '23456789CDFHJKMPRTVWXY';

const HASHED_CHARACTERS = 7;

/** Check character of a text of digits and capital letters. */
export function checkCharacter(text: string): string {
  let sum = 0;
  for (const character of text) sum = ((sum + VALUES.indexOf(character)) * 2) % 37;
  return VALUES[(38 - sum) % 37]!;
}

/**
 * The code of a family's kit.
 *
 * @param sha256 - SHA-256 of a text, in hexadecimal.
 */
export function kitCode(seed: string, family: string, sha256: (text: string) => string): string {
  // A check character that could be mistaken is avoided by trying again.
  for (let attempt = 0; ; attempt++) {
    const text = hashedText(sha256(JSON.stringify([seed, family, attempt])));
    const check = checkCharacter(text);
    if (ALPHABET.includes(check)) return `${text.slice(0, 4)}-${text.slice(4)}${check}`;
  }
}

/** Whether a text is a code without a mistake. */
export function isKitCode(text: string): boolean {
  const [left, right, ...rest] = text.split('-');
  if (left?.length !== 4 || right?.length !== 4 || rest.length > 0) return false;
  const code = left + right;
  if (!Array.from(code).every(character => ALPHABET.includes(character))) return false;
  return checkCharacter(code.slice(0, -1)) === code.at(-1);
}

/** The hash as digits of the alphabet, the last ones. */
function hashedText(hexadecimal: string): string {
  let number = BigInt(`0x${hexadecimal}`);
  const base = BigInt(ALPHABET.length);
  let text = '';
  while (text.length < HASHED_CHARACTERS) {
    text += ALPHABET[Number(number % base)]!;
    number /= base;
  }
  return text;
}
