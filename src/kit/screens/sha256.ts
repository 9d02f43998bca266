/**
 * SHA-256 (FIPS 180-4), for the page's content-security policy: a browser runs only the script whose
 * hash stands there. Small on purpose: a few kilobytes are hashed per kit.
 *
 * Checked against the platform's own SHA-256 in `tests/kit/screens/sha256.test.ts`.
 *
 * @module
 */

type EightWords = [number, number, number, number, number, number, number, number];

/** Bytes of one block (FIPS 180-4, section 5.2.1). */
const BLOCK_BYTES = 64;

/** First 32 bits of the fractional parts of the cube roots of the first 64 primes (section 4.2.2). */
const ROUND_CONSTANTS = rootFractions(64, 1 / 3);

/** The same of the square roots of the first eight primes (section 5.3.3). */
const INITIAL_HASH = rootFractions(8, 1 / 2);

/** SHA-256 of a text's UTF-8 bytes, in base64: what a policy writes as `'sha256-...'`. */
export function sha256Base64(text: string): string {
  const bytes = paddedBytes(text);
  const hash = Uint32Array.from(INITIAL_HASH);
  const schedule = new Uint32Array(64);
  const view = new DataView(bytes.buffer);
  for (let offset = 0; offset < bytes.length; offset += BLOCK_BYTES) {
    fillSchedule(schedule, view, offset);
    mixBlock(hash, schedule);
  }
  const digest = new DataView(new ArrayBuffer(32));
  hash.forEach((word, index) => {
    digest.setUint32(4 * index, word);
  });
  return btoa(String.fromCharCode(...new Uint8Array(digest.buffer)));
}

/** The message, a 1 bit, zeros, and its length in bits as 64-bit number (section 5.1.1). */
function paddedBytes(text: string): Uint8Array {
  const message = new TextEncoder().encode(text);
  const length = Math.ceil((message.length + 9) / BLOCK_BYTES) * BLOCK_BYTES;
  const bytes = new Uint8Array(length);
  bytes.set(message);
  bytes[message.length] = 0x80;
  const view = new DataView(bytes.buffer);
  view.setUint32(length - 8, Math.floor(message.length / 2 ** 29));
  view.setUint32(length - 4, message.length << 3);
  return bytes;
}

/** Section 6.2.2, step 1. */
function fillSchedule(schedule: Uint32Array, view: DataView, offset: number): void {
  for (let t = 0; t < 16; t++) schedule[t] = view.getUint32(offset + 4 * t);
  for (let t = 16; t < 64; t++) {
    const early = schedule[t - 15]!;
    const late = schedule[t - 2]!;
    const sigma0 = rotate(early, 7) ^ rotate(early, 18) ^ (early >>> 3);
    const sigma1 = rotate(late, 17) ^ rotate(late, 19) ^ (late >>> 10);
    schedule[t] = sigma1 + schedule[t - 7]! + sigma0 + schedule[t - 16]!;
  }
}

/** Section 6.2.2, steps 2 to 4. */
function mixBlock(hash: Uint32Array, schedule: Uint32Array): void {
  let [a, b, c, d, e, f, g, h] = [...hash] as EightWords;
  for (let t = 0; t < 64; t++) {
    const sum1 = rotate(e, 6) ^ rotate(e, 11) ^ rotate(e, 25);
    const choose = (e & f) ^ (~e & g);
    const first = (h + sum1 + choose + ROUND_CONSTANTS[t]! + schedule[t]!) | 0;
    const sum0 = rotate(a, 2) ^ rotate(a, 13) ^ rotate(a, 22);
    const majority = (a & b) ^ (a & c) ^ (b & c);
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + first) | 0, c, b, a, (first + sum0 + majority) | 0];
  }
  for (const [index, word] of [a, b, c, d, e, f, g, h].entries()) hash[index]! += word;
}

const rotate = (word: number, bits: number): number => (word >>> bits) | (word << (32 - bits));

function rootFractions(count: number, power: number): Uint32Array {
  const fractions = new Uint32Array(count);
  for (let candidate = 2, found = 0; found < count; candidate++) {
    if (!isPrime(candidate)) continue;
    const root = candidate ** power;
    fractions[found++] = (root - Math.floor(root)) * 2 ** 32;
  }
  return fractions;
}

function isPrime(candidate: number): boolean {
  for (let divisor = 2; divisor * divisor <= candidate; divisor++) {
    if (candidate % divisor === 0) return false;
  }
  return true;
}
