/**
 * Peaks between samples: three points interpolated between each two, four intervals at a time.
 *
 * In single precision, which moves a level by less than 0.00001 dB; samples themselves count in double.
 */
import { PIECE } from './piece';

/** Taps of a point on each side of it. */
const HALF_TAPS: i32 = 12;

/** Samples kept from before: the taps of an interval, and as many more as one turn of the loop takes. */
export const PEAK_HELD: i32 = 28;

/** `f64[PIECE]`, and room to fill up the last pair. */
export const peakSamples = memory.data((PIECE + 2) * 8, 16);

/** The samples kept, then the new ones; `f32[PEAK_HELD + PIECE]`. */
export const peakHeld = memory.data((PEAK_HELD + PIECE) * 4, 16);

/**
 * Taps, nearest first, `f32[3 x HALF_TAPS]`: of the point half-way, which are the same on both sides;
 * then half sum and half difference of those at 1/4 and 3/4, which mirror each other.
 */
export const peakTaps = memory.data(3 * HALF_TAPS * 4, 16);

/** Squared, samples below 600 dB under full scale would fall out of the normal range, where sums are slow. */
const SILENT: f64 = 1e-30;

/**
 * How far a crest may lie above the point half-way and the samples beside it, as a share of the bend of
 * these three. A sine of frequency f needs (1 - cos(a / 2)) / (2 - 2 cos(a)) with a = pi f / fs: 1/8 at
 * low frequencies to 0.25 at half the sample rate; the rest is for what is no sine.
 */
const BEND: f32 = 0.5;

/**
 * The largest magnitude of `count` samples and of the points that have all their taps with them, or
 * `soFar`, if that is larger. Keeps the last samples.
 */
export function peak(count: i32, soFar: f64): f64 {
  const largest = max(soFar, take(count));
  const crests = between(PEAK_HELD + count, largest as f32);
  memory.copy(peakHeld, peakHeld + (count << 2), PEAK_HELD << 2);
  return max(largest, crests as f64);
}

/** Appends the samples in single precision; returns their largest magnitude. */
function take(count: i32): f64 {
  // The last sample may have no partner.
  f64.store(peakSamples + (count << 3), 0);
  const silent = f64x2.splat(SILENT);
  let largest = f64x2.splat(0);
  for (let i = 0; i < count; i += 2) {
    const samples = v128.load(peakSamples + (i << 3));
    const magnitude = f64x2.abs(samples);
    largest = f64x2.pmax(largest, magnitude);
    const heard = v128.and(samples, f64x2.gt(magnitude, silent));
    v128.store64_lane(peakHeld + ((PEAK_HELD + i) << 2), f32x4.demote_f64x2_zero(heard), 0);
  }
  return max(f64x2.extract_lane(largest, 0), f64x2.extract_lane(largest, 1));
}

/** The peak of the points in all intervals that have their taps among the first `length` samples held. */
function between(length: i32, soFar: f32): f32 {
  const lastFour = length - HALF_TAPS - 4;
  let peak = f32x4.splat(soFar);
  for (let i = HALF_TAPS - 1; i < lastFour + 4; i += 4) {
    // The last turn takes some intervals again rather than too few.
    const at = peakHeld + (min(i, lastFour) << 2);
    const half = halfWay(at);
    const left = v128.load(at);
    const right = v128.load(at, 4);
    const known = f32x4.pmax(f32x4.abs(half), f32x4.pmax(f32x4.abs(left), f32x4.abs(right)));
    const bend = f32x4.abs(f32x4.sub(f32x4.add(left, right), f32x4.add(half, half)));
    const reach = f32x4.add(known, f32x4.mul(bend, f32x4.splat(BEND)));
    if (v128.any_true(f32x4.gt(reach, peak))) {
      peak = f32x4.splat(max(f32x4.extract_lane(peak, 0), largestLane(crests(at, half))));
    }
  }
  return f32x4.extract_lane(peak, 0);
}

/** The points half-way in four intervals. */
function halfWay(at: usize): v128 {
  let half = f32x4.splat(0);
  let taps = peakTaps;
  let left = at - 12;
  // Four taps a turn, at fixed distances: half the time of one a turn.
  for (let right = at + 4; right < at + HALF_TAPS * 4; right += 16) {
    const first = f32x4.add(v128.load(left, 12), v128.load(right));
    const second = f32x4.add(v128.load(left, 8), v128.load(right, 4));
    const third = f32x4.add(v128.load(left, 4), v128.load(right, 8));
    const fourth = f32x4.add(v128.load(left), v128.load(right, 12));
    half = f32x4.add(half, f32x4.mul(v128.load32_splat(taps), first));
    half = f32x4.add(half, f32x4.mul(v128.load32_splat(taps, 4), second));
    half = f32x4.add(half, f32x4.mul(v128.load32_splat(taps, 8), third));
    half = f32x4.add(half, f32x4.mul(v128.load32_splat(taps, 12), fourth));
    left -= 16;
    taps += 16;
  }
  return half;
}

/** The crests of four intervals whose points half-way are known. */
function crests(at: usize, half: v128): v128 {
  const evenTaps = peakTaps + HALF_TAPS * 4;
  const oddTaps = peakTaps + HALF_TAPS * 8;
  let even = f32x4.splat(0);
  let odd = f32x4.splat(0);
  for (let k = 0; k < HALF_TAPS << 2; k += 4) {
    const left = v128.load(at - k);
    const right = v128.load(at + k, 4);
    even = f32x4.add(even, f32x4.mul(v128.load32_splat(evenTaps + k), f32x4.add(left, right)));
    odd = f32x4.add(odd, f32x4.mul(v128.load32_splat(oddTaps + k), f32x4.sub(left, right)));
  }
  const left = v128.load(at);
  const first = f32x4.add(even, odd);
  const third = f32x4.sub(even, odd);
  const right = v128.load(at, 4);
  const parabolas = f32x4.pmax(
    vertex(first, half, third, -0.5),
    f32x4.pmax(vertex(left, first, half, -1), vertex(right, third, half, -1)),
  );
  return f32x4.pmax(parabolas, largestOf(left, first, half, third, right));
}

function largestOf(a: v128, b: v128, c: v128, d: v128, e: v128): v128 {
  const outer = f32x4.pmax(f32x4.abs(a), f32x4.abs(e));
  const inner = f32x4.pmax(f32x4.abs(b), f32x4.abs(d));
  return f32x4.pmax(f32x4.pmax(outer, inner), f32x4.abs(c));
}

/**
 * Magnitude at the vertex of the parabola through three points one step apart, where it lies from
 * `earliest` to half a step after the middle one; else 0.
 */
function vertex(first: v128, middle: v128, last: v128, earliest: f32): v128 {
  const slope = f32x4.mul(f32x4.sub(last, first), f32x4.splat(0.5));
  const bend = f32x4.sub(f32x4.add(middle, middle), f32x4.add(first, last));
  // Without a bend this is no number or infinite, and all comparisons fail.
  const place = f32x4.div(slope, bend);
  const isNear = v128.and(
    f32x4.ge(place, f32x4.splat(earliest)),
    f32x4.le(place, f32x4.splat(0.5)),
  );
  const rise = f32x4.mul(f32x4.mul(slope, place), f32x4.splat(0.5));
  return v128.and(f32x4.abs(f32x4.add(middle, rise)), isNear);
}

function largestLane(lanes: v128): f32 {
  return max(
    max(f32x4.extract_lane(lanes, 0), f32x4.extract_lane(lanes, 1)),
    max(f32x4.extract_lane(lanes, 2), f32x4.extract_lane(lanes, 3)),
  );
}
