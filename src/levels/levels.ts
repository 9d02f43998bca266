/**
 * What the meter says of a sound.
 *
 * Digital levels are in dB re the RMS of a full-scale sine ("dBFS" as AES17 and IEC 61606 define
 * it): a full-scale sine at 1 kHz reads 0. Silence is `-Infinity`.
 *
 * Several channels: over headphones each ear gets one channel, so each level is that of the loudest
 * channel. A mean of the channels would under-read the nearer ear by 3 dB when one of two is
 * silent, and a sum would differ from what either ear gets; for equal channels the loudest, the
 * mean and a mono file read the same. Loudness (LUFS) sums the channels, as ITU-R BS.1770 says.
 *
 * @module
 */

export interface Levels {
  /** In s. */
  readonly durationS: number;
  readonly sampleRateHz: number;
  readonly channels: number;
  /** A-weighted equivalent level over the whole duration (IEC 61672-1:2013, 3.10). */
  readonly laeqDbfs: number;
  /** C-weighted equivalent level. */
  readonly lceqDbfs: number;
  /** Unweighted equivalent level. */
  readonly lzeqDbfs: number;
  /** Highest A-weighted level with time weighting FAST (0.125 s). */
  readonly lafmaxDbfs: number;
  /** Highest A-weighted level with time weighting SLOW (1 s). */
  readonly lasmaxDbfs: number;
  /** Highest C-weighted peak, between samples too. dB re full-scale sine RMS, so a full-scale sine peaks at 3.01. */
  readonly lcpeakDbfs: number;
  /** Highest peak, between samples too. dB re full scale (dBTP, ITU-R BS.1770-5, Annex 2). */
  readonly truePeakDbtp: number;
}
