/**
 * One-third-octave band levels by FFT.
 *
 * Bands: IEC 61260-1:2014, base 10: 34 bands from 10 Hz to 20 kHz, edges 10^(1/20) from the middle.
 * The band is the sum of the FFT bins between its edges (parts of bins counted in part): as flat
 * inside and as steep outside as the window allows, which is far inside the class 1 limits that a
 * bank of filters meets with eighth-order sections per band, at a fraction of their time. What an
 * FFT cannot do is follow a band in time; these are levels over the whole sound.
 *
 * Frames overlap by half under a window whose overlapping squares sum to one (the power-complementary
 * window of Vorbis I, 4.3.1), so by Parseval's theorem the bands add up to the exact energy of the
 * sound wherever its events fall. Low bands need finer bins: they are read from the signal at 1/16
 * and 1/256 of its rate. The low-pass of each halving is binomial; its droop is divided out of the
 * bins, and what folds back is 80 dB down.
 *
 * @module
 */
import { complexSpectrum } from '../signal/fft.js';

/** A band level as mean square. */
export interface BandPower {
  /** Nominal mid-band frequency in Hz, as standards print it. */
  readonly nominalHz: number;
  /** Mean square over the sound, 1.0 = digital full scale squared. */
  readonly meanSquare: number;
}

/** Nominal mid-band frequencies in Hz (IEC 61260-1:2014, Annex E), one decade. */
const NOMINAL_DECADE = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8] as const;

/** Bands: mid frequency 10^(n/10) Hz. */
const FIRST_BAND = 10;
const LAST_BAND = 43;

/** From the middle of a band to its edge. */
const EDGE_RATIO = 10 ** (1 / 20);

/** Samples of a frame. */
const FRAME = 4096;

/** A band is read from the first stage where it is at least this many bins wide. */
const MIN_BINS_PER_BAND = 12;

/** Stages, each at 1/16 of the rate of the one before. */
const STAGES = 3;

/** Order of the binomial low-pass before each of a stage's four halvings. */
const HALVING_ORDERS = [4, 6, 8, 12] as const;

/** Rate of a stage re the one before. */
const STAGE_RATIO = 2 ** HALVING_ORDERS.length;

const WINDOW = powerComplementaryWindow(FRAME);

/** Sums band energies of one channel. */
export class ThirdOctaves {
  private readonly stages: readonly Stage[];
  private samples = 0;

  /** @param sampleRateHz - From 8 000 to 192 000. */
  constructor(private readonly sampleRateHz: number) {
    this.stages = Array.from({ length: STAGES }, () => new Stage());
  }

  /** Takes the next samples. */
  push(block: Float64Array): void {
    this.samples += block.length;
    this.feed(0, block);
  }

  /** Bands whose middle is below half the sample rate, lowest first. Nothing may be pushed after. */
  finish(): BandPower[] {
    this.stages.forEach((stage, index) => {
      // Silence enough to push the last samples out of the halvings and through the window.
      this.feed(index, new Float64Array(STAGE_RATIO * FLUSH_HALVINGS));
      stage.flush();
    });
    const bands: BandPower[] = [];
    for (let band = FIRST_BAND; band <= LAST_BAND; band++) {
      const middleHz = 10 ** (band / 10);
      if (middleHz < this.sampleRateHz / 2) {
        const nominalHz = NOMINAL_DECADE[band % 10]! * 10 ** Math.floor(band / 10);
        bands.push({
          nominalHz,
          meanSquare: this.bandEnergy(middleHz) / Math.max(1, this.samples),
        });
      }
    }
    return bands;
  }

  private feed(index: number, block: Float64Array): void {
    const stage = this.stages[index]!;
    stage.push(block);
    if (index + 1 < STAGES) this.feed(index + 1, stage.decimate(block));
  }

  private bandEnergy(middleHz: number): number {
    let index = 0;
    let binHz = this.sampleRateHz / FRAME;
    const widthHz = middleHz * (EDGE_RATIO - 1 / EDGE_RATIO);
    while (index + 1 < STAGES && widthHz < MIN_BINS_PER_BAND * binHz) {
      index += 1;
      binHz /= STAGE_RATIO;
    }
    const [from, to] = [middleHz / EDGE_RATIO / binHz, (middleHz * EDGE_RATIO) / binHz];
    const energy = this.stages[index]!.energyBetween(from, to, index);
    return energy * STAGE_RATIO ** index;
  }
}

/** Zero samples per stage ratio that flush a stage's halvings. */
const FLUSH_HALVINGS = 32;

/** The energy spectrum of one signal, and the signal at 1/16 of its rate. */
class Stage {
  /** Energy of each bin of a complex transform, of two frames at a time. */
  private readonly energy = new Float64Array(FRAME);
  /** The last half frame, then what has come of the next. The first half frame is silence before the start. */
  private readonly held = new Float64Array(FRAME);
  private filled = FRAME / 2;
  /** Two frames, as real and imaginary part. */
  private readonly pair = new Float64Array(2 * FRAME);
  private pairHalf: 0 | 1 = 0;
  private readonly spectrum = new Float64Array(2 * FRAME);
  private readonly halvings = HALVING_ORDERS.map(order => new Halving(order));

  push(block: Float64Array): void {
    for (let from = 0; from < block.length;) {
      const count = Math.min(block.length - from, FRAME - this.filled);
      this.held.set(block.subarray(from, from + count), this.filled);
      this.filled += count;
      from += count;
      if (this.filled === FRAME) this.takeFrame();
    }
  }

  /** As if silence followed. */
  flush(): void {
    this.push(new Float64Array(FRAME));
    if (this.pairHalf === 1) {
      for (let i = 0; i < FRAME; i++) this.pair[2 * i + 1] = 0;
      this.addSpectrum();
    }
  }

  decimate(block: Float64Array): Float64Array {
    return this.halvings.reduce((samples, halving) => halving.push(samples), block);
  }

  /**
   * Energy from one place to another in bins, both directions of frequency.
   *
   * @param depth - How many decimations the signal went through: their droop is divided out.
   */
  energyBetween(from: number, to: number, depth: number): number {
    const nyquist = FRAME / 2;
    let sum = 0;
    for (let bin = Math.round(from); bin <= Math.min(Math.round(to), nyquist); bin++) {
      // A bin reaches half a bin to either side.
      const share = Math.min(to, bin + 0.5) - Math.max(from, bin - 0.5);
      const mirrored = bin === 0 || bin === nyquist ? 0 : this.energy[FRAME - bin]!;
      sum += (Math.max(0, share) * (this.energy[bin]! + mirrored)) / droop(bin / FRAME, depth);
    }
    return sum / FRAME;
  }

  private takeFrame(): void {
    const { held, pair, pairHalf } = this;
    for (let i = 0; i < FRAME; i++) pair[2 * i + pairHalf] = held[i]! * WINDOW[i]!;
    if (pairHalf === 1) this.addSpectrum();
    else this.pairHalf = 1;
    held.copyWithin(0, FRAME / 2);
    this.filled = FRAME / 2;
  }

  /** |Z(k)|^2 + |Z(-k)|^2 of a pair is 2 (|X(k)|^2 + |Y(k)|^2) of its frames: no need to part them. */
  private addSpectrum(): void {
    const { energy, spectrum } = this;
    complexSpectrum(this.pair, spectrum);
    for (let bin = 0; bin < FRAME; bin++) {
      const re = spectrum[2 * bin]!;
      const im = spectrum[2 * bin + 1]!;
      energy[bin]! += re * re + im * im;
    }
    this.pairHalf = 0;
  }
}

/** Halves the rate: every other sample of a binomial low-pass, ((1 + z^-1) / 2)^order. */
class Halving {
  private readonly taps: readonly number[];
  private readonly held: Float64Array;
  private odd = false;

  constructor(private readonly order: number) {
    let taps = [1];
    for (let i = 0; i < order; i++) {
      taps = [...taps, 0].map((tap, k) => (tap + (taps[k - 1] ?? 0)) / 2);
    }
    this.taps = taps;
    this.held = new Float64Array(order);
  }

  push(block: Float64Array): Float64Array {
    const { taps, held, order } = this;
    const samples = new Float64Array(order + block.length);
    samples.set(held);
    samples.set(block, order);
    const first = this.odd ? 1 : 0;
    const halved = new Float64Array(Math.max(0, Math.ceil((block.length - first) / 2)));
    for (let i = 0; i < halved.length; i++) {
      const start = first + 2 * i;
      // The taps are symmetric, and their number is odd.
      let sum = taps[order / 2]! * samples[start + order / 2]!;
      for (let k = 0; k < order / 2; k++) {
        sum += taps[k]! * (samples[start + k]! + samples[start + order - k]!);
      }
      halved[i] = sum;
    }
    this.odd = (block.length - first) % 2 !== 0;
    held.set(samples.subarray(block.length));
    return halved;
  }
}

/** Power gain of the decimations before a stage, at a frequency re the stage's own rate. */
function droop(frequency: number, depth: number): number {
  let gain = 1;
  let f = frequency;
  for (let stage = 0; stage < depth; stage++) {
    for (let halving = HALVING_ORDERS.length - 1; halving >= 0; halving--) {
      f /= 2;
      gain *= Math.cos(Math.PI * f) ** (2 * HALVING_ORDERS[halving]!);
    }
  }
  return gain;
}

/** sin(pi/2 sin^2(pi (n + 1/2) / N)): squares half a frame apart sum to one. */
function powerComplementaryWindow(length: number): Float64Array {
  return Float64Array.from({ length }, (_, n) =>
    Math.sin((Math.PI / 2) * Math.sin((Math.PI * (n + 0.5)) / length) ** 2),
  );
}
