/**
 * One-third-octave band levels by FFT.
 *
 * Bands: IEC 61260-1:2014, base 10: 34 bands from 10 Hz to 20 kHz, edges 10^(1/20) from the middle.
 * The band is the sum of the FFT bins between its edges (parts of bins counted in part): as flat
 * inside and as steep outside as the window allows, which is far inside the class 1 limits that a
 * bank of filters meets with eighth-order sections per band, at a fraction of their time. What an
 * FFT cannot do is follow a band in time; these are levels over the whole sound.
 *
 * Frames overlap by an eighth, under a window whose overlapping squares sum to one, so by Parseval's theorem the bands add up to the
 * exact energy of the sound wherever its events fall. Low bands need finer bins: they are read from
 * the signal at 1/16 and 1/256 of its rate. What folds back there is 80 dB down, and the droop of the
 * low-pass is divided out of the bins.
 *
 * @module
 */
import { Halving, halvingGain } from '../signal/halving.js';
import { forEachPiece, FRAME_SAMPLES } from '../signal/kernels.js';
import { FRAME_OVERLAP, PairSpectrum } from '../signal/pair-spectrum.js';

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

/** A band is read from the first stage where it is at least this many bins wide. */
const MIN_BINS_PER_BAND = 12;

/** Stages, each at a fraction of the rate of the one before. */
const STAGES = 3;

/** From one stage to the next: zeros of the low-pass at each halving of the rate. */
const HALVINGS = [4, 4, 8, 8] as const;

/** Rate of a stage re the next. */
const STAGE_RATIO = 2 ** HALVINGS.length;

/** Stage samples of silence that push the last sound through the halvings. */
const FLUSH = 8;

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
    forEachPiece(block, piece => {
      this.feed(0, piece);
    });
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

  private feed(index: number, piece: Float64Array): void {
    const stage = this.stages[index]!;
    stage.push(piece);
    if (index + 1 < STAGES) this.feed(index + 1, stage.decimate(piece));
  }

  private bandEnergy(middleHz: number): number {
    let index = 0;
    let binHz = this.sampleRateHz / FRAME_SAMPLES;
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
  private readonly spectrum = new PairSpectrum();
  private readonly frames = [
    new Float64Array(FRAME_SAMPLES),
    new Float64Array(FRAME_SAMPLES),
  ] as const;
  /** The frame that is being filled: it begins with what it shares with the last, at first silence. */
  private current: 0 | 1 = 0;
  private filled = FRAME_OVERLAP;
  private readonly halvings = HALVINGS.map(zeros => new Halving(zeros));

  push(block: Float64Array): void {
    for (let from = 0; from < block.length;) {
      const count = Math.min(block.length - from, FRAME_SAMPLES - this.filled);
      this.frames[this.current].set(block.subarray(from, from + count), this.filled);
      this.filled += count;
      from += count;
      if (this.filled === FRAME_SAMPLES) this.takeFrame();
    }
  }

  /** As if silence followed. */
  flush(): void {
    this.push(new Float64Array(FRAME_SAMPLES));
    if (this.current === 1) this.spectrum.add(this.frames[0], new Float64Array(FRAME_SAMPLES));
  }

  decimate(piece: Float64Array): Float64Array {
    return this.halvings.reduce((samples, halving) => halving.push(samples), piece);
  }

  /**
   * Energy from one place to another in bins, both directions of frequency.
   *
   * @param depth - How many decimations the signal went through: their droop is divided out.
   */
  energyBetween(from: number, to: number, depth: number): number {
    const last = Math.min(Math.round(to), FRAME_SAMPLES / 2);
    let sum = 0;
    for (let bin = Math.round(from); bin <= last; bin++) {
      // A bin reaches half a bin to either side.
      const share = Math.min(to, bin + 0.5) - Math.max(from, bin - 0.5);
      sum += (Math.max(0, share) * this.spectrum.energyAt(bin)) / droop(bin / FRAME_SAMPLES, depth);
    }
    return sum / FRAME_SAMPLES;
  }

  private takeFrame(): void {
    const { frames, current } = this;
    const next = current === 0 ? 1 : 0;
    if (current === 1) this.spectrum.add(...frames);
    frames[next].set(frames[current].subarray(FRAME_SAMPLES - FRAME_OVERLAP));
    this.current = next;
    this.filled = FRAME_OVERLAP;
  }
}

/** Power gain of the decimations before a stage, at a frequency re the stage's own rate. */
function droop(frequency: number, depth: number): number {
  let gain = 1;
  let f = frequency;
  for (let stage = 0; stage < depth; stage++) {
    for (const zeros of [...HALVINGS].reverse()) {
      f /= 2;
      gain *= halvingGain(f, zeros);
    }
  }
  return gain;
}
