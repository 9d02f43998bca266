/**
 * Third-octave levels that follow a sound in time: 28 band-pass filters, squared and smoothed, read
 * every 0.5 ms. What loudness over time starts from.
 *
 * Source: ISO 532-1:2017, 6.2 and Annex A. The standard gives its filters as coefficients for 48 kHz
 * (tables A.1 and A.2). They are band-passes of the third order of the Chebyshev kind with next to no
 * ripple; here they are designed as such for any sample rate. At 48 kHz the two differ by less than
 * 0.1 dB up to 1 kHz; above 5 kHz the standard's are skewed by their transform and these are not
 * (`tests/levels/third-octave-filters.test.ts`).
 *
 * Filters, not the sharp bands of `ThirdOctaves`: what a tone leaks into neighbouring bands is part of
 * the loudness that the standard gives it.
 *
 * @module
 */
import { type Biquad, flushDenormal, powerGain, scaleBiquad } from '../signal/biquad.js';
import { requireInRange } from '../signal/require.js';
import { pa2ToDbSpl } from './sound-pressure.js';
import { LOUDNESS_BANDS_HZ } from './zwicker-tables.js';

/** How often levels are read, per second (ISO 532-1:2017, 6.3). */
export const FRAME_RATE_HZ = 2000;

/** Sample rates taken, in Hz: the highest band needs the lower one. */
export const FILTER_RATES_HZ = { min: 32_000, max: 192_000 } as const;

/** Ripple in dB, and ratio from the middle of a band to the end of the ripple: fitted to tables A.1 and A.2. */
const RIPPLE_DB = 0.00363;
const RIPPLE_EDGE_RATIO = 10 ** 0.022557;

/** The smoothing has three poles of 2 / (3 f) s, with f the band's middle but at most this, in Hz. */
const FASTEST_SMOOTHING_HZ = 1000;

/** Added to squares before the logarithm, in Pa^2 (ISO 532-1:2017, Annex A). */
const TINY_PA2 = 1e-12;

const BANDS = LOUDNESS_BANDS_HZ.length;

/** Numbers of a band that are carried from block to block: two per section, three of the smoothing. */
const STATES = 9;

/** Level in dB re 20 uPa of a smoothed square in Pa^2; at least -26. */
export const bandLevelDb = (pa2: number): number => pa2ToDbSpl(pa2 + TINY_PA2);

/** Band levels of one channel, frame by frame. */
export class ThirdOctaveFilters {
  private readonly filters: readonly (readonly [Biquad, Biquad, Biquad])[];
  /** What the poles of the smoothing take of a new value. */
  private readonly smoothing: Float64Array;
  private readonly states = new Float64Array(BANDS * STATES);
  private samples = 0;
  private frames = 0;

  /** @throws {RangeError} A sample rate below 32 000 or above 192 000 Hz. */
  constructor(private readonly sampleRateHz: number) {
    requireInRange(sampleRateHz, 'sampleRateHz', FILTER_RATES_HZ.min, FILTER_RATES_HZ.max, 'Hz');
    this.filters = LOUDNESS_BANDS_HZ.map(middleHz => thirdOctaveFilter(middleHz, sampleRateHz));
    this.smoothing = Float64Array.from(
      LOUDNESS_BANDS_HZ,
      middleHz => -Math.expm1((-3 * Math.min(middleHz, FASTEST_SMOOTHING_HZ)) / (2 * sampleRateHz)),
    );
  }

  /**
   * Takes the next samples; the first frame is at the first sample.
   *
   * @returns Smoothed squares of the bands in the frames that fall among the samples, frame by frame,
   * shape `[frames x 28]`.
   */
  push(block: Float64Array): Float64Array {
    const from = this.frames;
    const reads: number[] = [];
    for (let at = this.frameAt(); at < this.samples + block.length; at = this.frameAt()) {
      reads.push(at - this.samples);
      this.frames += 1;
    }
    const squares = new Float64Array((this.frames - from) * BANDS);
    for (let band = 0; band < BANDS; band++) this.run(band, block, reads, squares);
    this.samples += block.length;
    return squares;
  }

  private frameAt(): number {
    return Math.round((this.frames * this.sampleRateHz) / FRAME_RATE_HZ);
  }

  /**
   * One loop for the whole of a band: side by side its parts cost little more than one. Coefficients
   * are read before it: a third of the time of reading them inside.
   */
  private run(
    band: number,
    block: Float64Array,
    reads: readonly number[],
    squares: Float64Array,
  ): void {
    const [first, second, third] = this.filters[band]!;
    const gain = first.b0;
    const { a1: pa1, a2: pa2 } = first;
    const { a1: qa1, a2: qa2 } = second;
    const { a1: ra1, a2: ra2 } = third;
    const take = this.smoothing[band]!;
    const states = this.states.subarray(band * STATES, (band + 1) * STATES);
    let [p1, p2, q1, q2, r1, r2, u, v, w] = states as unknown as NineNumbers;
    let n = 0;
    for (let frame = 0; frame <= reads.length; frame++) {
      const to = frame < reads.length ? reads[frame]! + 1 : block.length;
      for (; n < to; n++) {
        // Zeros at 0 Hz and at half the rate: a section's output is its input less the last but one.
        const x = gain * block[n]!;
        const p = x + p1;
        p1 = p2 - pa1 * p;
        p2 = -x - pa2 * p;
        const q = p + q1;
        q1 = q2 - qa1 * q;
        q2 = -p - qa2 * q;
        const r = q + r1;
        r1 = r2 - ra1 * r;
        r2 = -q - ra2 * r;
        u += take * (r * r - u);
        v += take * (u - v);
        w += take * (v - w);
      }
      if (frame < reads.length) squares[frame * BANDS + band] = w;
    }
    states.set([p1, p2, q1, q2, r1, r2, u, v, w].map(flushDenormal));
  }
}

type NineNumbers = readonly [
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
];

/**
 * The sections of one band's filter, 0 dB in its middle; the gain is in the first.
 *
 * Poles of the Chebyshev low-pass become pairs of the band-pass by s -> (s^2 + m^2) / (width s), and
 * go to the z-plane by the bilinear transform, middle and edges prewarped.
 *
 * @param middleHz - Below half the sample rate by at least the ripple's edge.
 */
export function thirdOctaveFilter(
  middleHz: number,
  sampleRateHz: number,
): readonly [Biquad, Biquad, Biquad] {
  const warp = (hertz: number): number => Math.tan((Math.PI * hertz) / sampleRateHz);
  const low = warp(middleHz / RIPPLE_EDGE_RATIO);
  const high = warp(middleHz * RIPPLE_EDGE_RATIO);
  const width = high - low;
  const middleSquared = low * high;
  const epsilon = Math.sqrt(10 ** (RIPPLE_DB / 10) - 1);
  const spread = Math.asinh(1 / epsilon) / 3;
  // The real pole of the low-pass gives one pair, the complex one two.
  const real = -Math.sinh(spread) * width;
  const re = real / 2;
  const im = (Math.sqrt(3) / 2) * Math.cosh(spread) * width;
  const root = complexRoot(re * re - im * im - 4 * middleSquared, 2 * re * im);
  const first = sectionOfPoles(-real, middleSquared);
  const second = sectionOfPole((re + root.re) / 2, (im + root.im) / 2);
  const third = sectionOfPole((re - root.re) / 2, (im - root.im) / 2);
  const gain = powerGain([first, second, third], middleHz, sampleRateHz);
  return [scaleBiquad(first, 1 / Math.sqrt(gain)), second, third];
}

/** The section of a complex pole and its mirror image. */
const sectionOfPole = (re: number, im: number): Biquad =>
  sectionOfPoles(-2 * re, re * re + im * im);

/** s / (s^2 + linear s + constant) under the bilinear transform, up to a factor. */
function sectionOfPoles(linear: number, constant: number): Biquad {
  const a0 = 1 + linear + constant;
  return { b0: 1, b1: 0, b2: -1, a1: (2 * (constant - 1)) / a0, a2: (1 - linear + constant) / a0 };
}

function complexRoot(re: number, im: number): { readonly re: number; readonly im: number } {
  const length = Math.hypot(re, im);
  const rootRe = Math.sqrt((length + re) / 2);
  return { re: rootRe, im: Math.sign(im) * Math.sqrt((length - re) / 2) };
}
