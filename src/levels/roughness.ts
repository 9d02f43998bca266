/**
 * Roughness: the harsh quality of fast modulation, in asper. 1 asper is a 1 kHz tone of 60 dB, fully
 * amplitude-modulated at 70 Hz. Slower modulation than about 15 Hz is heard as single events, faster
 * than about 300 Hz as tones: neither is rough.
 *
 * Source: P. Daniel and R. Weber, "Psychoacoustical roughness: implementation of an optimized model",
 * Acustica 83, 1997, 113-123. Each fifth of a second is spread over 47 channels along the inner ear;
 * the depth of modulation of each channel's envelope, weighted by its speed, and how far channels one
 * Bark apart go together, make its roughness. Three things differ from the paper: the windows are the
 * nearest power of two of samples long, ear and threshold are those of ISO 532-1, and the envelope is
 * that of the analytic signal, read at an eighth of the sample rate, where the paper rectifies: it
 * takes a tenth of the time. How well this meets the paper's listening tests is in
 * `tests/levels/roughness.test.ts`.
 *
 * @module
 */
import { complexSpectrum, fftSizeFor, realSpectrum } from '../signal/fft.js';
import { requireInRange } from '../signal/require.js';
import type { Sound } from '../signal/sound.js';
import { Excitation } from './excitation.js';
import {
  channelWeight,
  MODULATION_END_HZ,
  modulationWeight,
  ROUGHNESS_CHANNELS,
} from './modulation-weights.js';
import { REFERENCE_PA2 } from './sound-pressure.js';
import { FILTER_RATES_HZ } from './third-octave-filters.js';

export interface Roughness {
  /** Roughness in asper of each window, half a window apart. */
  readonly asper: Float64Array;
  /** Mean over time in asper. */
  readonly meanAsper: number;
}

/** A window lasts about this long, in s. */
const WINDOW_SECONDS = 0.2;

/** Envelopes are read at the sample rate through this. */
const ENVELOPE_STEP = 16;

/** Makes the reference sound 1 asper at 44.1 kHz. The paper has 0.25, for its own windows and ear. */
const ASPER = 0.2653;

/** Modulation below is the window's own, in bins: a Blackman window reaches two bins to each side. */
const FIRST_BIN = 3;

/**
 * Roughness of a sound.
 *
 * @param sound - Samples in Pa, at 32 to 192 kHz, at least a window (about 0.2 s) long. What remains
 * after the last whole window does not count.
 * @throws {RangeError} A sample rate outside that range, or a shorter sound.
 */
export function roughness(sound: Sound): Roughness {
  const { sampleRateHz } = sound;
  requireInRange(sampleRateHz, 'sampleRateHz', FILTER_RATES_HZ.min, FILTER_RATES_HZ.max, 'Hz');
  const size = windowSize(sampleRateHz);
  if (sound.length < size) {
    throw new RangeError(`sound must hold at least ${size} samples, got ${sound.length}`);
  }
  const meter = new RoughnessMeter(sampleRateHz, size);
  const asper: number[] = [];
  const held = new Float64Array(size);
  let filled = 0;
  for (const block of sound.blocks()) {
    for (let from = 0; from < block.length;) {
      const count = Math.min(block.length - from, size - filled);
      held.set(block.subarray(from, from + count), filled);
      filled += count;
      from += count;
      if (filled < size) continue;
      asper.push(meter.measure(held));
      held.copyWithin(0, size / 2);
      filled = size / 2;
    }
  }
  const meanAsper = asper.reduce((sum, value) => sum + value, 0) / asper.length;
  return { asper: Float64Array.from(asper), meanAsper };
}

/** The power of two that is nearest to the window's length. */
function windowSize(sampleRateHz: number): number {
  const larger = fftSizeFor(WINDOW_SECONDS * sampleRateHz);
  return larger / (WINDOW_SECONDS * sampleRateHz) > Math.SQRT2 ? larger / 2 : larger;
}

/** Measures windows of one size. */
class RoughnessMeter {
  private readonly window: Float64Array;
  private readonly windowed: Float64Array;
  private readonly excitation: Excitation;
  private readonly channels: readonly Float64Array<ArrayBuffer>[];
  private readonly analytic: Float64Array<ArrayBuffer>;
  private readonly pair: Float64Array;
  private readonly pairSpectrum: Float64Array<ArrayBuffer>;
  private readonly lastBin: number;
  /** Weight of each bin of modulation, per channel. */
  private readonly weights: readonly Float64Array[];
  /** Spectrum of each channel's weighted envelope, interleaved, from bin 0 to the last that counts. */
  private readonly envelopes: readonly Float64Array[];
  private readonly channelWeights = perChannel(channelWeight);
  private readonly depths = new Float64Array(ROUGHNESS_CHANNELS);
  private readonly powers = new Float64Array(ROUGHNESS_CHANNELS);

  constructor(sampleRateHz: number, size: number) {
    const binHz = sampleRateHz / size;
    const folded = size / ENVELOPE_STEP;
    this.window = blackman(size);
    this.windowed = new Float64Array(size);
    // A tone's bin is its amplitude times half the sum of the window; its power is half its square.
    const sum = this.window.reduce((total, value) => total + value, 0);
    this.excitation = new Excitation(binHz, size / 2, 2 / (sum * sum * REFERENCE_PA2), folded);
    this.channels = perChannel(() => new Float64Array(2 * folded));
    this.analytic = new Float64Array(2 * folded);
    this.pair = new Float64Array(2 * folded);
    this.pairSpectrum = new Float64Array(2 * folded);
    this.lastBin = Math.floor(MODULATION_END_HZ / binHz);
    this.weights = perChannel(channel =>
      Float64Array.from({ length: this.lastBin + 1 }, (_, bin) =>
        bin < FIRST_BIN ? 0 : modulationWeight(channel, bin * binHz),
      ),
    );
    this.envelopes = perChannel(() => new Float64Array(2 * (this.lastBin + 1)));
  }

  /** Roughness of one window in asper. */
  measure(samples: Float64Array): number {
    for (let i = 0; i < samples.length; i++) this.windowed[i] = samples[i]! * this.window[i]!;
    this.excitation.spread(realSpectrum(this.windowed), this.channels);
    for (let channel = 0; channel < ROUGHNESS_CHANNELS; channel += 2) this.takePair(channel);
    let sum = 0;
    const correlations = perChannel(channel => this.correlation(channel - 1));
    for (let channel = 0; channel < ROUGHNESS_CHANNELS; channel++) {
      const together = (correlations[channel - 2] ?? 1) * correlations[channel]!;
      sum += this.channelWeights[channel]! * (this.depths[channel]! * together) ** 2;
    }
    return ASPER * sum;
  }

  /** The envelopes of two channels, as real and imaginary part, share a transform. */
  private takePair(first: number): void {
    const { pair, pairSpectrum, analytic } = this;
    pair.fill(0);
    for (let part = 0; part < 2 && first + part < ROUGHNESS_CHANNELS; part++) {
      // Forwards instead of back: time runs the other way round, which changes nothing here.
      complexSpectrum(this.channels[first + part]!, analytic);
      for (let i = 0; i < analytic.length; i += 2) {
        const [re, im] = [analytic[i]!, analytic[i + 1]!];
        pair[i + part] = Math.sqrt(re * re + im * im);
      }
    }
    complexSpectrum(pair, pairSpectrum);
    this.takeEnvelope(first, 1);
    if (first + 1 < ROUGHNESS_CHANNELS) this.takeEnvelope(first + 1, -1);
  }

  /**
   * Depth of modulation and weighted envelope of a channel.
   *
   * @param sign - 1 for the real part of the pair, whose spectrum mirrors as a conjugate, -1 for the
   * imaginary part. That one comes turned by 90 degrees, as do both it is compared with or neither.
   */
  private takeEnvelope(channel: number, sign: 1 | -1): void {
    const { pairSpectrum } = this;
    const weights = this.weights[channel]!;
    const envelope = this.envelopes[channel]!;
    const mean = pairSpectrum[sign === 1 ? 0 : 1]!;
    let power = 0;
    for (let bin = FIRST_BIN; bin <= this.lastBin; bin++) {
      const at = 2 * bin;
      const mirrored = pairSpectrum.length - at;
      const weight = weights[bin]! / 2;
      const re = weight * (pairSpectrum[at]! + sign * pairSpectrum[mirrored]!);
      const im = weight * (pairSpectrum[at + 1]! - sign * pairSpectrum[mirrored + 1]!);
      envelope[at] = re;
      envelope[at + 1] = im;
      power += re * re + im * im;
    }
    this.powers[channel] = power;
    this.depths[channel] = mean > 0 ? Math.min(1, Math.sqrt(2 * power) / mean) : 0;
  }

  /** Correlation of the envelopes of a channel and the one a Bark above; 1 where there is no such pair. */
  private correlation(channel: number): number {
    if (channel + 2 >= ROUGHNESS_CHANNELS) return 1;
    const power = this.powers[channel]! * this.powers[channel + 2]!;
    if (!(power > 0)) return 0;
    const a = this.envelopes[channel]!;
    const b = this.envelopes[channel + 2]!;
    let sum = 0;
    for (let i = 2 * FIRST_BIN; i < a.length; i++) sum += a[i]! * b[i]!;
    return sum / Math.sqrt(power);
  }
}

const perChannel = <T>(make: (channel: number) => T): readonly T[] =>
  Array.from({ length: ROUGHNESS_CHANNELS }, (_, i) => make(i + 1));

/** Blackman's window, for frames that follow each other. */
const blackman = (size: number): Float64Array =>
  Float64Array.from({ length: size }, (_, i) => {
    const angle = (2 * Math.PI * i) / size;
    return 0.42 - 0.5 * Math.cos(angle) + 0.08 * Math.cos(2 * angle);
  });
