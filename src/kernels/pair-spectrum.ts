/**
 * Energy of the spectrum of two real frames, which go through one complex transform together: radix 4,
 * decimation in frequency, one complex number to a vector.
 */

/** Samples of a frame: a power of 4. */
export const FRAME: i32 = 4096;

/** Two frames, `f64[FRAME]` each. */
export const pairFirst = memory.data(FRAME * 8, 16);
export const pairSecond = memory.data(FRAME * 8, 16);

/** What the first samples of a frame are multiplied by, and the last ones mirrored; `f64[FRAME / 8]`. */
export const pairSlope = memory.data(FRAME, 16);
const SLOPE: i32 = FRAME / 8;

/** Numbers of the twiddle factors of one turn of the loop. */
const TWIDDLES: i32 = 9;

/**
 * Twiddle factors of the transforms of FRAME, FRAME / 4 ... 16 points: for each k below a quarter of the
 * points, for w = exp(-2 pi i k / points), its square and its cube: real part, minus the imaginary part,
 * imaginary part. `f64[9 x (FRAME - 4) / 3]`.
 */
export const pairTwiddles = memory.data(((TWIDDLES * (FRAME - 4)) / 3) * 8, 16);

/** Energies of all bins, `f64[FRAME]`: |Z|^2, at the bin's number with its digits to base 4 reversed. */
export const pairEnergy = memory.data(FRAME * 8, 16);

const points = memory.data(FRAME * 16, 16);

/** Transforms both frames into {@link pairEnergy}. */
export function pairSpectrum(): void {
  for (let i = 0; i < SLOPE; i += 2) {
    const rising = v128.load(pairSlope + (i << 3));
    load(i, rising);
    const last = FRAME - 2 - i;
    load(last, v128.shuffle<f64>(rising, rising, 1, 0));
  }
  for (let i = SLOPE; i < FRAME - SLOPE; i += 2) load(i, f64x2.splat(1));
  transform(points, FRAME, pairTwiddles);
}

/** Two samples of each frame as two complex numbers. */
function load(i: i32, slope: v128): void {
  const first = f64x2.mul(slope, v128.load(pairFirst + (i << 3)));
  const second = f64x2.mul(slope, v128.load(pairSecond + (i << 3)));
  const to = points + (i << 4);
  v128.store(to, v128.shuffle<f64>(first, second, 0, 2));
  v128.store(to, v128.shuffle<f64>(first, second, 1, 3), 16);
}

/** Depth first, so that all but the first pass stay in the fastest memory. */
function transform(at: usize, size: i32, twiddles: usize): void {
  if (size == 4) {
    finish(at);
    return;
  }
  const quarter = (size << 2) as usize;
  const end = at + quarter;
  let factors = twiddles;
  for (let from = at; from < end; from += 16) {
    const a = v128.load(from);
    const b = v128.load(from + quarter);
    const c = v128.load(from + 2 * quarter);
    const d = v128.load(from + 3 * quarter);
    const outer = f64x2.add(a, c);
    const inner = f64x2.add(b, d);
    const left = f64x2.sub(a, c);
    const right = timesMinusI(f64x2.sub(b, d));
    v128.store(from, f64x2.add(outer, inner));
    v128.store(from + quarter, turned(f64x2.add(left, right), factors));
    v128.store(from + 2 * quarter, turned(f64x2.sub(outer, inner), factors + 24));
    v128.store(from + 3 * quarter, turned(f64x2.sub(left, right), factors + 48));
    factors += TWIDDLES * 8;
  }
  for (let part = at; part < at + 4 * quarter; part += quarter) transform(part, size >> 2, factors);
}

/** Four points, and their energies. */
function finish(at: usize): void {
  const a = v128.load(at);
  const b = v128.load(at, 16);
  const c = v128.load(at, 32);
  const d = v128.load(at, 48);
  const outer = f64x2.add(a, c);
  const inner = f64x2.add(b, d);
  const left = f64x2.sub(a, c);
  const right = timesMinusI(f64x2.sub(b, d));
  const to = pairEnergy + ((at - points) >> 1);
  v128.store(to, energies(f64x2.add(outer, inner), f64x2.add(left, right)));
  v128.store(to, energies(f64x2.sub(outer, inner), f64x2.sub(left, right)), 16);
}

function energies(a: v128, b: v128): v128 {
  const squaresA = f64x2.mul(a, a);
  const squaresB = f64x2.mul(b, b);
  return f64x2.add(
    v128.shuffle<f64>(squaresA, squaresB, 0, 2),
    v128.shuffle<f64>(squaresA, squaresB, 1, 3),
  );
}

function timesMinusI(z: v128): v128 {
  return v128.xor(v128.shuffle<f64>(z, z, 1, 0), f64x2(0, -0));
}

/** z times a twiddle factor. */
function turned(z: v128, factor: usize): v128 {
  const swapped = v128.shuffle<f64>(z, z, 1, 0);
  return f64x2.add(
    f64x2.mul(z, v128.load64_splat(factor)),
    f64x2.mul(swapped, v128.load(factor, 8)),
  );
}
