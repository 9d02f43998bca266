/**
 * Seeded random numbers: the only randomness in the project, so that the same study, seed and
 * version give the same bytes on every machine.
 *
 * Generator: xoshiro128** 1.1 (Blackman and Vigna, 2018), seeded by splitmix32 from a string hash
 * (FNV-1a, 32 bit). Neither is for secrets.
 *
 * @module
 */

/** A stream of random numbers. */
export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal: mean 0, standard deviation 1. */
  normal(): number;
}

/** A generator whose stream depends only on `seed`; use one per purpose, named in the seed. */
export function seededRandom(seed: string): Random {
  const next = xoshiro128(fnv1a(seed));
  let spare: number | undefined;
  const uniform = (): number => next() / 2 ** 32;
  const normal = (): number => {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    // Box-Muller; 1 - u keeps the logarithm's argument above zero.
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { uniform, normal };
}

function fnv1a(text: string): number {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) {
    hash = Math.imul(hash ^ byte, 0x01000193);
  }
  return hash >>> 0;
}

function xoshiro128(seed: number): () => number {
  let mix = seed;
  const splitmix32 = (): number => {
    mix = (mix + 0x9e3779b9) >>> 0;
    let z = mix;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
  let a = splitmix32();
  let b = splitmix32();
  let c = splitmix32();
  let d = splitmix32();
  return () => {
    const scrambled = Math.imul(rotateLeft(Math.imul(b, 5), 7), 9) >>> 0;
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = rotateLeft(d, 11);
    return scrambled;
  };
}

const rotateLeft = (word: number, bits: number): number => (word << bits) | (word >>> (32 - bits));
