/**
 * Half the sample rate: every second sample under a binomial low-pass, two at a time.
 */
import { PIECE } from './piece';

/** Samples before the first that an output may need. */
export const HALVE_BEFORE: i32 = 8;

/** `f64[HALVE_BEFORE + PIECE]`, and as many more as the last turn of a loop may look at. */
export const halveInput = memory.data((HALVE_BEFORE + PIECE + 8) * 8, 16);

/** `f64[(HALVE_BEFORE + PIECE) / 2]` or less. */
export const halveOutput = memory.data(((HALVE_BEFORE + PIECE) / 2 + 2) * 8, 16);

/** Output j is of inputs 2j to 2j + 4, times 1 4 6 4 1 / 16. */
export function halveBy4(outputs: i32): void {
  let pair = v128.load(halveInput, 16);
  let even0 = evens(v128.load(halveInput), pair);
  let odd0 = odds(v128.load(halveInput), pair);
  let from = halveInput;
  const end = halveOutput + (outputs << 3);
  for (let to = halveOutput; to < end; to += 16, from += 32) {
    const next = v128.load(from, 32);
    const after = v128.load(from, 48);
    const even1 = evens(pair, next);
    const odd1 = odds(pair, next);
    const even2 = evens(next, after);
    const outer = f64x2.add(even0, even2);
    const inner = f64x2.mul(f64x2.splat(4), f64x2.add(odd0, odd1));
    const middle = f64x2.mul(f64x2.splat(6), even1);
    const sum = f64x2.add(f64x2.add(outer, inner), middle);
    v128.store(to, f64x2.mul(f64x2.splat(1 / 16), sum));
    even0 = even2;
    odd0 = odds(next, after);
    pair = after;
  }
}

/** Output j is of inputs 2j to 2j + 8, times 1 8 28 56 70 56 28 8 1 / 256. */
export function halveBy8(outputs: i32): void {
  let from = halveInput;
  const end = halveOutput + (outputs << 3);
  for (let to = halveOutput; to < end; to += 16, from += 32) {
    const a = v128.load(from);
    const b = v128.load(from, 16);
    const c = v128.load(from, 32);
    const d = v128.load(from, 48);
    const e = v128.load(from, 64);
    const f = v128.load(from, 80);
    const ends = f64x2.add(evens(a, b), evens(e, f));
    const eights = f64x2.mul(f64x2.splat(8), f64x2.add(odds(a, b), odds(d, e)));
    const outer = f64x2.mul(f64x2.splat(28), f64x2.add(evens(b, c), evens(d, e)));
    const inner = f64x2.mul(f64x2.splat(56), f64x2.add(odds(b, c), odds(c, d)));
    const middle = f64x2.mul(f64x2.splat(70), evens(c, d));
    const sum = f64x2.add(f64x2.add(ends, eights), f64x2.add(f64x2.add(outer, inner), middle));
    v128.store(to, f64x2.mul(f64x2.splat(1 / 256), sum));
  }
}

function evens(a: v128, b: v128): v128 {
  return v128.shuffle<f64>(a, b, 0, 2);
}

function odds(a: v128, b: v128): v128 {
  return v128.shuffle<f64>(a, b, 1, 3);
}
