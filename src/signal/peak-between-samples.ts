/**
 * The highest peak of a sampled signal, between its samples too: the signal is interpolated eight
 * times, so that a tone near the top of the band cannot hide its crest between two samples.
 *
 * Interpolator: windowed sinc, 24 taps around each point. Flat within 0.1 dB to 0.42 of the sample
 * rate (20 kHz at 48 kHz), 0.2 dB low at 0.45; between its points a tone at 0.42 reads at most
 * 0.12 dB low. The filter printed in ITU-R BS.1770 finds peaks on a grid half as fine, with a ripple
 * of 0.17 dB.
 *
 * Points are only computed where the peak can be. A band-limited signal that reaches its maximum M
 * somewhere stays above M cos(2 pi f t) for a time t around it, f being the top of its band (a
 * lemma of Bernstein's theory). So the point half-way between two samples is always computed, the
 * quarters only where one of the three points known is above cos(pi / 4) of the peak found so far,
 * the eighths only where one of the five is above cos(pi / 8). And no point exceeds the largest
 * sample around it by more than the sum of the taps' magnitudes: stretches quieter than that are
 * skipped altogether. The result is that of computing all points, about ten times sooner.
 *
 * @module
 */

/** Taps on each side of a point. */
const HALF_TAPS = 12;

/** Taps of one point. */
const TAPS = 2 * HALF_TAPS;

/** Shape of the Kaiser window: between ripple and reach. */
const KAISER_BETA = 3.5;

/** Samples that are judged together; at least `HALF_TAPS`, so that three stretches hold all taps. */
const STRETCH = 32;

/** A little below cos(pi / 4) and cos(pi / 8), for the ripple of the interpolator. */
const QUARTERS_ABOVE = 0.69;
const EIGHTHS_ABOVE = 0.91;

/** Half-way between two samples: the taps of one side, nearest first; the other side mirrors them. */
const [H0, H1, H2, H3, H4, H5, H6, H7, H8, H9, H10, H11] = Array.from(
  tapsAt(1 / 2)
    .subarray(0, HALF_TAPS)
    .reverse(),
) as TwelveNumbers;

const QUARTERS = [1 / 4, 3 / 4].map(tapsAt);
const EIGHTHS = [1 / 8, 3 / 8, 5 / 8, 7 / 8].map(tapsAt);

/** No interpolated value is larger than this times the largest sample under the taps. */
const OVERSHOOT_BOUND = Math.max(
  ...[tapsAt(1 / 2), ...QUARTERS, ...EIGHTHS].map(taps =>
    taps.reduce((sum, tap) => sum + Math.abs(tap), 0),
  ),
);

/** Finds the peak of one channel in blocks; before the first and after the last sample is silence. */
export class PeakBetweenSamples {
  /** The last samples that still have taps to come, then the block. */
  private held = new Float64Array(TAPS);
  private stretchPeaks = new Float64Array(0);
  private peak = 0;

  /** Takes the next samples. */
  push(block: Float64Array): void {
    const total = TAPS + block.length;
    if (this.held.length < total) {
      const larger = new Float64Array(total);
      larger.set(this.held.subarray(0, TAPS));
      this.held = larger;
    }
    this.held.set(block, TAPS);
    this.scan(total);
    this.held.copyWithin(0, block.length, total);
  }

  /** The peak of all samples so far, as if silence followed. Linear, 0 for silence. */
  result(): number {
    const end = new PeakBetweenSamples();
    end.held.set(this.held.subarray(0, TAPS));
    end.peak = this.peak;
    end.push(new Float64Array(TAPS));
    return end.peak;
  }

  private scan(length: number): void {
    this.findStretchPeaks(length);
    const peaks = this.stretchPeaks;
    const stretches = Math.ceil(length / STRETCH);
    for (let stretch = 0; stretch < stretches; stretch++) {
      let around = peaks[stretch]!;
      if (stretch > 0) around = Math.max(around, peaks[stretch - 1]!);
      if (stretch + 1 < stretches) around = Math.max(around, peaks[stretch + 1]!);
      if (around * OVERSHOOT_BOUND <= this.peak) continue;
      // All taps of the point between samples i and i + 1 lie in the samples held.
      const from = Math.max(HALF_TAPS - 1, stretch * STRETCH);
      const to = Math.min(length - HALF_TAPS, (stretch + 1) * STRETCH);
      this.scanStretch(from, to);
    }
  }

  private findStretchPeaks(length: number): void {
    const samples = this.held;
    const stretches = Math.ceil(length / STRETCH);
    if (this.stretchPeaks.length < stretches) this.stretchPeaks = new Float64Array(stretches);
    for (let stretch = 0; stretch < stretches; stretch++) {
      const end = Math.min(length, (stretch + 1) * STRETCH);
      let largest = 0;
      for (let i = stretch * STRETCH; i < end; i++) {
        const size = Math.abs(samples[i]!);
        if (size > largest) largest = size;
      }
      this.stretchPeaks[stretch] = largest;
      if (largest > this.peak) this.peak = largest;
    }
  }

  /** The points between samples i and i + 1, `from` <= i < `to`. Written out: a loop takes twice as long. */
  private scanStretch(from: number, to: number): void {
    const x = this.held;
    let threshold = QUARTERS_ABOVE * this.peak;
    for (let i = from; i < to; i++) {
      const half =
        H0 * (x[i]! + x[i + 1]!) +
        H1 * (x[i - 1]! + x[i + 2]!) +
        H2 * (x[i - 2]! + x[i + 3]!) +
        H3 * (x[i - 3]! + x[i + 4]!) +
        H4 * (x[i - 4]! + x[i + 5]!) +
        H5 * (x[i - 5]! + x[i + 6]!) +
        H6 * (x[i - 6]! + x[i + 7]!) +
        H7 * (x[i - 7]! + x[i + 8]!) +
        H8 * (x[i - 8]! + x[i + 9]!) +
        H9 * (x[i - 9]! + x[i + 10]!) +
        H10 * (x[i - 10]! + x[i + 11]!) +
        H11 * (x[i - 11]! + x[i + 12]!);
      const largest = Math.max(Math.abs(half), Math.abs(x[i]!), Math.abs(x[i + 1]!));
      if (largest > threshold) {
        this.refine(i, largest);
        threshold = QUARTERS_ABOVE * this.peak;
      }
    }
  }

  private refine(i: number, known: number): void {
    const start = i + 1 - HALF_TAPS;
    let largest = Math.max(known, largestAt(QUARTERS, this.held, start));
    if (largest > EIGHTHS_ABOVE * this.peak) {
      largest = Math.max(largest, largestAt(EIGHTHS, this.held, start));
    }
    if (largest > this.peak) this.peak = largest;
  }
}

/** Largest magnitude at some points between the two samples in the middle of the taps. */
function largestAt(points: readonly Float64Array[], samples: Float64Array, start: number): number {
  let largest = 0;
  for (const taps of points) {
    let sum = 0;
    for (let k = 0; k < TAPS; k++) sum += taps[k]! * samples[start + k]!;
    largest = Math.max(largest, Math.abs(sum));
  }
  return largest;
}

/** Taps of the point at a fraction of the way between two samples, scaled to pass a constant unchanged. */
function tapsAt(fraction: number): Float64Array {
  const taps = new Float64Array(TAPS);
  for (let k = 0; k < TAPS; k++) {
    const distance = k - (HALF_TAPS - 1) - fraction;
    const sinc = Math.sin(Math.PI * distance) / (Math.PI * distance);
    taps[k] = sinc * besselI0(KAISER_BETA * Math.sqrt(1 - (distance / HALF_TAPS) ** 2));
  }
  const sum = taps.reduce((total, tap) => total + tap, 0);
  return taps.map(tap => tap / sum);
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function besselI0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > sum * 1e-17; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

// prettier-ignore
type TwelveNumbers = [
  number, number, number, number, number, number, number, number, number, number, number, number,
];
