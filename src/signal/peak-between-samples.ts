/**
 * The highest peak of a sampled signal, between its samples too, so that a tone near the top of the
 * band cannot hide its crest between two samples.
 *
 * Three points are interpolated between two samples, by a windowed sinc of 24 taps, and parabolas are
 * laid through them. The sinc is flat within 0.1 dB to 0.42 of the sample rate (20 kHz at 48 kHz) and
 * 0.2 dB low at 0.45; the parabola reads a sine at 0.42 at most 0.05 dB low, and never high. The filter
 * printed in ITU-R BS.1770 finds four points a sample with a ripple of 0.17 dB, and leaves up to 0.5 dB
 * between them.
 *
 * @module
 */
import { besselI0 } from './bessel.js';
import { forEachPiece, peakFinding } from './kernels.js';

/** Taps on each side of a point. */
const HALF_TAPS = peakFinding.taps.length / 3;

/** Taps of one point. */
const TAPS = 2 * HALF_TAPS;

/** Shape of the Kaiser window: between ripple and reach. */
const KAISER_BETA = 3.5;

const QUARTER = mirroredTaps(1 / 4);
peakFinding.taps.set([...mirroredTaps(1 / 2).even, ...QUARTER.even, ...QUARTER.odd]);

/** Finds the peak of one channel in blocks; before the first and after the last sample is silence. */
export class PeakBetweenSamples {
  /** The last samples, which still have taps to come. */
  private readonly held = new Float32Array(peakFinding.held.length);
  private peak = 0;

  /** Takes the next samples. */
  push(block: Float64Array): void {
    const { held, samples, run } = peakFinding;
    forEachPiece(block, piece => {
      held.set(this.held);
      samples.set(piece);
      this.peak = run(piece.length, this.peak);
      this.held.set(held);
    });
  }

  /** The peak of the samples so far, and of the points between those with enough after them. Linear. */
  get soFar(): number {
    return this.peak;
  }

  /** The peak of all samples so far, as if silence followed. Linear, 0 for silence. */
  result(): number {
    const end = new PeakBetweenSamples();
    end.held.set(this.held);
    end.peak = this.peak;
    end.push(new Float64Array(TAPS));
    return end.peak;
  }
}

/** Taps of two points that mirror each other: their half sum and half difference. */
interface MirroredTaps {
  readonly even: Float64Array;
  readonly odd: Float64Array;
}

function mirroredTaps(fraction: number): MirroredTaps {
  const taps = tapsAt(fraction);
  const even = new Float64Array(HALF_TAPS);
  const odd = new Float64Array(HALF_TAPS);
  for (let k = 0; k < HALF_TAPS; k++) {
    const [left, right] = [taps[HALF_TAPS - 1 - k]!, taps[HALF_TAPS + k]!];
    even[k] = (left + right) / 2;
    odd[k] = (left - right) / 2;
  }
  return { even, odd };
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
