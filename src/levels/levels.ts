/**
 * What the meter says of a sound.
 *
 * Digital levels are in dB re the RMS of a full-scale sine ("dBFS" as AES17 and IEC 61606 define
 * it): a full-scale sine at 1 kHz reads 0. Silence is `-Infinity`.
 *
 * Several channels: over headphones each ear gets one channel, so each level is that of the loudest
 * channel. A mean of the channels would under-read the nearer ear by 3 dB when one of two is
 * silent, and a sum would differ from what either ear gets; for equal channels the loudest, the
 * mean and a mono file read the same. Third octaves are those of the channel with the highest LAeq.
 * Loudness (LUFS) sums the channels, as ITU-R BS.1770 says; clipped samples are counted in all.
 *
 * @module
 */

export interface Levels {
  /** In s. */
  readonly durationSeconds: number;
  readonly sampleRateHz: number;
  readonly channels: number;
  /** A-weighted equivalent level over the whole duration (IEC 61672-1:2013, 3.10). */
  readonly laeqDbfs: number;
  /** C-weighted equivalent level. */
  readonly lceqDbfs: number;
  /** Unweighted equivalent level; 0 Hz counts too. */
  readonly lzeqDbfs: number;
  /** Highest A-weighted level with time weighting FAST (0.125 s). */
  readonly lafmaxDbfs: number;
  /** Highest A-weighted level with time weighting SLOW (1 s). */
  readonly lasmaxDbfs: number;
  /** A-weighted levels (FAST, every 10 ms) exceeded for a share of the time. */
  readonly lafPercentilesDbfs: LafPercentiles;
  /** A-weighted sound exposure level (IEC 61672-1:2013, 3.12): LAeq + 10 lg(duration / 1 s). */
  readonly soundExposureLevelDb: number;
  /** Highest C-weighted peak, between samples too. dB re full-scale sine RMS, so a full-scale sine peaks at 3.01. */
  readonly lcpeakDbfs: number;
  /** Highest peak, between samples too. dB re full scale (dBTP, ITU-R BS.1770-5, Annex 2). */
  readonly truePeakDbtp: number;
  /** Loudness of the whole, gated. LUFS. `-Infinity` when shorter than 0.4 s. */
  readonly integratedLufs: number;
  /** Loudness range (EBU Tech 3342). LU. 0 when shorter than 3 s. */
  readonly loudnessRangeLu: number;
  /** Highest loudness over 3 s. LUFS. `-Infinity` when shorter. */
  readonly maxShortTermLufs: number;
  /** Highest loudness over 0.4 s. LUFS. `-Infinity` when shorter. */
  readonly maxMomentaryLufs: number;
  /** Band levels from 10 Hz up, as far as the sample rate goes; none if they were not asked for. */
  readonly thirdOctaves: readonly ThirdOctaveLevel[];
  /** Samples at or beyond full scale: at least as many as were clipped. */
  readonly clippedSamples: number;
  /** Mean of the samples, 1.0 = full scale: of the channel where it is largest. */
  readonly offset: number;
}

/** `l10`: exceeded for 10 % of the time. */
export interface LafPercentiles {
  readonly l1: number;
  readonly l5: number;
  readonly l10: number;
  readonly l50: number;
  readonly l90: number;
  readonly l95: number;
  readonly l99: number;
}

export interface ThirdOctaveLevel {
  /** Nominal mid-band frequency in Hz. */
  readonly nominalHz: number;
  readonly levelDbfs: number;
}
