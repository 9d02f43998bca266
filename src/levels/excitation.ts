/**
 * Excitation along the inner ear: each component of a spectrum as it reaches every critical band.
 *
 * A component passes the channels within half a Bark of it; to lower ones it falls by 27 dB/Bark, to
 * higher ones by 24 + 230 Hz / f - 0.2 L dB/Bark, so that louder components reach further up. What is
 * below the threshold of hearing in a channel does not reach it.
 *
 * Source: E. Terhardt, "Calculating virtual pitch", Hearing Research 1, 1979, 155-182, as P. Daniel and
 * R. Weber use it (Acustica 83, 1997, 113-123). The ear's transmission and threshold are those of
 * ISO 532-1:2017, tables A.4 and A.6, on straight lines over the critical-band rate.
 *
 * @module
 */
import { ROUGHNESS_CHANNELS } from './modulation-weights.js';
import {
  EAR_ATTENUATION_DB,
  LOUDNESS_BANDS_HZ,
  LOW_BANDS,
  THRESHOLD_DB,
} from './zwicker-tables.js';

/** What is heard, in Hz. */
const LOWEST_HZ = 20;
const HIGHEST_HZ = 20_000;

/** Towards lower frequencies, in dB/Bark. */
const LOWER_SLOPE_DB = 27;

/** ln of the amplitude ratio of 1 dB. */
const LN_PER_DB = Math.LN10 / 20;

/** Amplitude ratio of the lower slope from one channel to the next. */
const LOWER_STEP = Math.exp((LN_PER_DB * -LOWER_SLOPE_DB) / 2);

/** Bins of a spectrum that are heard, and what is known of them before their level. */
interface Bin {
  readonly index: number;
  readonly bark: number;
  /** Power gain of the ear and of the scale that makes 1 the reference pressure. */
  readonly earGain: number;
  readonly thresholdDb: number;
  /** Of the upper slope at 0 dB, in dB/Bark. */
  readonly slopeDb: number;
}

/** Spreads spectra of one size over the channels. */
export class Excitation {
  private readonly bins: readonly Bin[];
  private readonly thresholds = Float64Array.from({ length: ROUGHNESS_CHANNELS + 2 }, (_, i) =>
    thresholdAt(i / 2),
  );

  /**
   * @param binHz - Distance of the spectrum's bins in Hz.
   * @param bins - How many there are from 0 Hz up.
   * @param powerScale - Makes the power of a bin that of its component, 1 being 20 uPa RMS.
   * @param folded - Bins of the channels' spectra, a power of two: see {@link spread}.
   */
  constructor(
    binHz: number,
    bins: number,
    powerScale: number,
    private readonly folded: number,
  ) {
    this.bins = Array.from({ length: bins }, (_, index) => index)
      .filter(index => index * binHz >= LOWEST_HZ && index * binHz <= HIGHEST_HZ)
      .map(index => {
        const bark = barkOf(index * binHz);
        return {
          index,
          bark,
          earGain: powerScale * 10 ** (-attenuationAt(bark) / 10),
          thresholdDb: thresholdAt(bark),
          slopeDb: 24 + 230 / (index * binHz),
        };
      });
  }

  /**
   * The spectrum of each channel. Bins a whole number of `folded` apart are added: in time this is the
   * same signal, read only every so often.
   *
   * @param spectrum - Interleaved, of a real signal.
   * @param channels - Where the results go, interleaved, each of shape `[2 x folded]`.
   */
  spread(spectrum: Float64Array, channels: readonly Float64Array[]): void {
    for (const channel of channels) channel.fill(0);
    for (const { index, bark, earGain, thresholdDb, slopeDb } of this.bins) {
      const re = spectrum[2 * index]!;
      const im = spectrum[2 * index + 1]!;
      const levelDb = 10 * Math.log10(earGain * (re * re + im * im));
      if (!(levelDb > thresholdDb)) continue;
      const at = 2 * (index % this.folded);
      // Channels counted from 1; `low` and `high` are the ones within half a Bark.
      const low = Math.floor(2 * bark);
      const high = Math.ceil(2 * bark);
      for (let channel = low; channel <= high; channel++) add(channels, channel, at, re, im, 1);
      let distanceDb = LOWER_SLOPE_DB * (bark - low / 2);
      let gain = Math.exp(LN_PER_DB * -distanceDb);
      for (let channel = low - 1; channel >= 1; channel--) {
        if (levelDb - distanceDb <= this.thresholds[channel + 1]!) break;
        add(channels, channel, at, re, im, gain);
        distanceDb += LOWER_SLOPE_DB / 2;
        gain *= LOWER_STEP;
      }
      const slope = Math.max(0, slopeDb - 0.2 * levelDb);
      const step = Math.exp((LN_PER_DB * -slope) / 2);
      distanceDb = slope * (high / 2 - bark);
      gain = Math.exp(LN_PER_DB * -distanceDb);
      for (let channel = high + 1; channel <= ROUGHNESS_CHANNELS; channel++) {
        if (levelDb - distanceDb <= this.thresholds[channel - 1]!) break;
        add(channels, channel, at, re, im, gain);
        distanceDb += slope / 2;
        gain *= step;
      }
    }
  }
}

function add(
  channels: readonly Float64Array[],
  channel: number,
  at: number,
  re: number,
  im: number,
  gain: number,
): void {
  if (channel < 1 || channel > ROUGHNESS_CHANNELS) return;
  const target = channels[channel - 1]!;
  target[at]! += gain * re;
  target[at + 1]! += gain * im;
}

/** Critical-band rate in Bark (E. Zwicker and E. Terhardt, J. Acoust. Soc. Am. 68, 1980, 1523). */
export const barkOf = (hertz: number): number =>
  13 * Math.atan(0.00076 * hertz) + 3.5 * Math.atan((hertz / 7500) ** 2);

/** Middles of the critical bands of the tables in Bark; the first three hold several third octaves. */
const BAND_BARKS = [0.5, 1.5, 2.5, ...LOUDNESS_BANDS_HZ.slice(LOW_BANDS).map(barkOf)] as const;

const attenuationAt = (bark: number): number => between(EAR_ATTENUATION_DB, bark);
const thresholdAt = (bark: number): number => between(THRESHOLD_DB, bark);

function between(values: readonly number[], bark: number): number {
  const next = BAND_BARKS.findIndex(at => at >= bark);
  if (next === -1) return values.at(-1)!;
  if (next === 0) return values[0]!;
  const [from, to] = [BAND_BARKS[next - 1]!, BAND_BARKS[next]!];
  return values[next - 1]! + ((values[next]! - values[next - 1]!) * (bark - from)) / (to - from);
}
