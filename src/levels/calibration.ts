/**
 * From digital levels to levels at the ear, by what full scale is said to give there.
 *
 * A calibration is never exact, so what comes out is a range.
 *
 * @module
 */
import type { LevelRange } from './scan-levels.js';

/** What a playback chain does at one volume setting. */
export interface Calibration {
  /** Level at the ear that a full-scale 1 kHz sine gives, in dB re 20 uPa. */
  readonly fullScaleDb: number;
  /** How far that may be off in either direction, in dB. */
  readonly uncertaintyDb: number;
}

/**
 * How far a calibration may be off when nothing better is known, in dB: a phone's meter app with its
 * own microphone. Of five apps tested one stayed within 5 dB at all frequencies (Nast and others,
 * Noise and Health 16, 2014); apps with an external calibrated microphone came within 2 dB (Roberts
 * and others, 2016).
 */
export const UNSTATED_UNCERTAINTY_DB = 5;

/** A digital level as it arrives at the ear; silence stays `-Infinity`. */
export function levelAtEar(levelDbfs: number, calibration: Calibration): LevelRange {
  const expected = levelDbfs + calibration.fullScaleDb;
  return {
    low: expected - calibration.uncertaintyDb,
    expected,
    high: expected + calibration.uncertaintyDb,
  };
}
