/**
 * The filters and needles of a sound level meter, sample by sample.
 *
 * Two signals run side by side in the two lanes of a vector: lane 0 is on its way to C- and A-weighting,
 * lane 1 to K-weighting. What only one of them needs is scalar.
 */
import { PIECE } from './piece';

/** The samples, then the same C-weighted; `f64[PIECE]` each. */
export const weighSamples = memory.data(PIECE * 8, 16);
export const weighC = memory.data(PIECE * 8, 16);

/**
 * Coefficients, `f64[23]`; pairs are of lane 0 and lane 1.
 *
 * - 0, 2, 4, 6, 8: pairs b0, b1, b2, a1, a2 of the first section (treble; shelf)
 * - 10 to 12: b0, b1, a1 of the first-order section of lane 0 (tip)
 * - 14, 16: pairs a1, a2 of the section with zeros 1, -2, 1 (bass; high-pass)
 * - 18, 19: a1, a2 of the section from C to A (middle), which has the same zeros
 * - 20: pair of what the needles FAST and SLOW take of a new value
 * - 22: power gain of A
 */
export const weighFilter = memory.data(24 * 8, 16);

/**
 * What is carried on, `f64[22]`: 0 to 11 the states of the sections, in their order; then
 *
 * - 12: pair of the needles FAST and SLOW, A-weighted mean squares; 14: pair of their maxima
 * - 16: pair of the sums of squares C and K; 18: of A; 19: of the samples themselves; 20: unweighted
 */
export const weighState = memory.data(22 * 8, 16);

/** Runs the samples from one index to another. */
export function weigh(from: i32, to: i32): void {
  const firstB0 = v128.load(weighFilter, 0);
  const firstB1 = v128.load(weighFilter, 16);
  const firstB2 = v128.load(weighFilter, 32);
  const firstA1 = v128.load(weighFilter, 48);
  const firstA2 = v128.load(weighFilter, 64);
  const tipB0 = f64.load(weighFilter, 80);
  const tipB1 = f64.load(weighFilter, 88);
  const tipA1 = f64.load(weighFilter, 96);
  const lastA1 = v128.load(weighFilter, 112);
  const lastA2 = v128.load(weighFilter, 128);
  const middleA1 = f64.load(weighFilter, 144);
  const middleA2 = f64.load(weighFilter, 152);
  const take = v128.load(weighFilter, 160);
  const gainA = f64.load(weighFilter, 176);

  let first1 = v128.load(weighState, 0);
  let first2 = v128.load(weighState, 16);
  let tip1 = f64.load(weighState, 32);
  let last1 = v128.load(weighState, 48);
  let last2 = v128.load(weighState, 64);
  let middle1 = f64.load(weighState, 80);
  let middle2 = f64.load(weighState, 88);
  let needles = v128.load(weighState, 96);
  let maxima = v128.load(weighState, 112);
  let sumsCK = v128.load(weighState, 128);
  let sumA = f64.load(weighState, 144);
  let sum = f64.load(weighState, 152);
  let sumZ = f64.load(weighState, 160);

  const end = weighSamples + (to << 3);
  let out = weighC + (from << 3);
  for (let at = weighSamples + (from << 3); at < end; at += 8) {
    const sample = f64.load(at);
    sum += sample;
    sumZ += sample * sample;

    const x = f64x2.splat(sample);
    const first = f64x2.add(f64x2.mul(firstB0, x), first1);
    first1 = f64x2.sub(f64x2.add(f64x2.mul(firstB1, x), first2), f64x2.mul(firstA1, first));
    first2 = f64x2.sub(f64x2.mul(firstB2, x), f64x2.mul(firstA2, first));

    const treble = f64x2.extract_lane(first, 0);
    const tip = tipB0 * treble + tip1;
    tip1 = tipB1 * treble - tipA1 * tip;

    const both = f64x2.replace_lane(first, 0, tip);
    const last = f64x2.add(both, last1);
    last1 = f64x2.sub(f64x2.sub(last2, f64x2.add(both, both)), f64x2.mul(lastA1, last));
    last2 = f64x2.sub(both, f64x2.mul(lastA2, last));
    sumsCK = f64x2.add(sumsCK, f64x2.mul(last, last));

    const c = f64x2.extract_lane(last, 0);
    f64.store(out, c);
    out += 8;

    const a = c + middle1;
    middle1 = middle2 - (c + c) - middleA1 * a;
    middle2 = c - middleA2 * a;
    const power = a * a * gainA;
    sumA += power;
    needles = f64x2.add(needles, f64x2.mul(take, f64x2.sub(f64x2.splat(power), needles)));
    maxima = f64x2.pmax(maxima, needles);
  }

  v128.store(weighState, first1, 0);
  v128.store(weighState, first2, 16);
  f64.store(weighState, tip1, 32);
  v128.store(weighState, last1, 48);
  v128.store(weighState, last2, 64);
  f64.store(weighState, middle1, 80);
  f64.store(weighState, middle2, 88);
  v128.store(weighState, needles, 96);
  v128.store(weighState, maxima, 112);
  v128.store(weighState, sumsCK, 128);
  f64.store(weighState, sumA, 144);
  f64.store(weighState, sum, 152);
  f64.store(weighState, sumZ, 160);
}
