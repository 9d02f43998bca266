/**
 * One-third-octave band levels by FFT.
 *
 * Bands: IEC 61260-1:2014, base 10: 34 bands from 10 Hz to 20 kHz, edges 10^(1/20) from the middle.
 * The band is the sum of the FFT bins between its edges (parts of bins counted in part): as flat
 * inside and as steep outside as the window allows, which is far inside the class 1 limits that a
 * bank of filters meets with eighth-order sections per band, at a fraction of their time. What an
 * FFT cannot do is follow a band in time; these are levels over the whole sound.
 *
 * Frames overlap by an eighth, under a window whose overlapping squares sum to one (slopes of the
 * power-complementary kind of Vorbis I, 4.3.1), so by Parseval's theorem the bands add up to the
 * exact energy of the sound wherever its events fall. Low bands need finer bins: they are read from
 * the signal at 1/16 and 1/256 of its rate. What folds back there is 80 dB down, and the droop of the
 * low-pass is divided out of the bins.
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

/** Samples that two frames share. */
const OVERLAP = FRAME / 8;

/** A band is read from the first stage where it is at least this many bins wide. */
const MIN_BINS_PER_BAND = 12;

/** Stages, each at 1/16 of the rate of the one before, which is two times a quarter. */
const STAGES = 3;

/** How often the mean of four samples is taken of the last mean, before each quartering of the rate. */
const MEANS = [4, 8] as const;

/** Rate of a stage re the one before. */
const STAGE_RATIO = 4 ** MEANS.length;

/** Stage samples of silence that push the last sound through the quarterings. */
const FLUSH = 8;

const SLOPE = powerComplementarySlope(OVERLAP);

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
      this.feed(index, new Float64Array(STAGE_RATIO * FLUSH));
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

/** The energy spectrum of one signal, and the signal at 1/16 of its rate. */
class Stage {
  /** Energy of each bin of a complex transform, of two frames at a time. */
  private readonly energy = new Float64Array(FRAME);
  /** What is shared with the last frame, then what has come of the next. Before the start is silence. */
  private readonly held = new Float64Array(FRAME);
  private filled = OVERLAP;
  /** Two frames, as real and imaginary part. */
  private readonly pair = new Float64Array(2 * FRAME);
  private isSecond = false;
  private readonly spectrum = new Float64Array(2 * FRAME);
  private readonly quarterings = MEANS.map(means => new Quartering(means));

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
    if (this.isSecond) {
      for (let i = 0; i < FRAME; i++) this.pair[2 * i + 1] = 0;
      this.addSpectrum();
    }
  }

  decimate(block: Float64Array): Float64Array {
    return this.quarterings.reduce((samples, quartering) => quartering.push(samples), block);
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
    const { held, pair } = this;
    const part = this.isSecond ? 1 : 0;
    for (let i = 0; i < FRAME; i++) pair[2 * i + part] = held[i]!;
    for (let i = 0; i < OVERLAP; i++) {
      pair[2 * i + part]! *= SLOPE[i]!;
      pair[2 * (FRAME - 1 - i) + part]! *= SLOPE[i]!;
    }
    if (this.isSecond) this.addSpectrum();
    else this.isSecond = true;
    held.copyWithin(0, FRAME - OVERLAP);
    this.filled = OVERLAP;
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
    this.isSecond = false;
  }
}

/** A quarter of the rate: every fourth sample of a mean of four, taken several times over. */
class Quartering {
  /** One half of the taps and the middle one; the other half mirrors them. */
  private readonly taps: Float64Array;
  private held: Float64Array;
  /** Samples held, beginning with the first one under the taps of the next output. */
  private count: number;

  constructor(means: number) {
    let taps = [1];
    for (let i = 0; i < means; i++) {
      taps = [...taps, 0, 0, 0].map((_, k) => {
        return (at(taps, k) + at(taps, k - 1) + at(taps, k - 2) + at(taps, k - 3)) / 4;
      });
    }
    this.taps = Float64Array.from(taps.slice(0, (taps.length + 1) / 2));
    this.held = new Float64Array(taps.length);
    // Before the start is silence.
    this.count = taps.length - 1;
  }

  push(block: Float64Array): Float64Array {
    const { taps } = this;
    const last = 2 * taps.length - 2;
    const total = this.count + block.length;
    if (this.held.length < total) {
      const larger = new Float64Array(total);
      larger.set(this.held.subarray(0, this.count));
      this.held = larger;
    }
    const { held } = this;
    held.set(block, this.count);
    const quartered = new Float64Array(Math.max(0, Math.floor((total - last + 3) / 4)));
    for (let i = 0, start = 0; i < quartered.length; i++, start += 4) {
      let sum = taps[taps.length - 1]! * held[start + taps.length - 1]!;
      for (let k = 0; k < taps.length - 1; k++) {
        sum += taps[k]! * (held[start + k]! + held[start + last - k]!);
      }
      quartered[i] = sum;
    }
    const used = 4 * quartered.length;
    held.copyWithin(0, used, total);
    this.count = total - used;
    return quartered;
  }
}

const at = (taps: readonly number[], k: number): number => taps[k] ?? 0;

/** Power gain of the decimations before a stage, at a frequency re the stage's own rate. */
function droop(frequency: number, depth: number): number {
  let gain = 1;
  let f = frequency;
  for (let stage = 0; stage < depth; stage++) {
    for (const means of [...MEANS].reverse()) {
      f /= 4;
      const meanOfFour = Math.cos(Math.PI * f) * Math.cos(2 * Math.PI * f);
      gain *= meanOfFour ** (2 * means);
    }
  }
  return gain;
}

/** sin(pi/2 sin^2(...)), rising: its square and that of its mirror image sum to one. */
function powerComplementarySlope(length: number): Float64Array {
  return Float64Array.from({ length }, (_, n) =>
    Math.sin((Math.PI / 2) * Math.sin((Math.PI * (n + 0.5)) / (2 * length)) ** 2),
  );
}
