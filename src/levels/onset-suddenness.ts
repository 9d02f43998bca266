/**
 * Suddenness: by how much and how fast a sound starts, at its beginning and wherever it starts again.
 *
 * The level is that of the A-weighted sound over 10 ms, looked at every millisecond. It never falls
 * below what a quiet room lets one hear. Suddenness at a moment is how far the level is above the
 * lowest one of the last 50 ms; an onset is where that passes 10 dB, and its suddenness the most it
 * comes to before it is below again. Startle follows such rises: at 80 and 85 dB(A) noise that took 10
 * or 25 ms to rise startled less than noise that took 2.5 ms (T. D. Blumenthal, "The startle response
 * to acoustic stimuli near startle threshold", Psychophysiology 25, 1988, abstract). The measure
 * itself, its windows and its limit are our own.
 *
 * @module
 */
import type { Sound } from '../signal/sound.js';
import { risesOf, SHORT_STEP_SECONDS, shortMeanSquares } from './short-levels.js';
import { pa2ToDbSpl } from './sound-pressure.js';

export interface Onset {
  /** When the level has risen most, in s from the sound's start. */
  readonly timeSeconds: number;
  /** Rise within 50 ms, in dB. */
  readonly riseDb: number;
}

export interface Suddenness {
  /** Every rise of at least 10 dB within 50 ms, in order. */
  readonly onsets: readonly Onset[];
  /** Largest rise in the first 100 ms, in dB, out of the quiet before the sound. */
  readonly startDb: number;
  /** Largest rise later, in dB. */
  readonly laterDb: number;
}

/** Rises below this are no onsets, in dB: our own. */
const ONSET_DB = 10;

/** What belongs to the start of the sound, in s: a rise and what rings on. */
const START_SECONDS = 0.1;

/**
 * Suddenness of a sound that comes out of the quiet.
 *
 * @param sound - Samples in Pa, at 8 to 192 kHz.
 * @throws {RangeError} A sample rate outside that range.
 */
export function onsetSuddenness(sound: Sound): Suddenness {
  const rises = risesOf(shortMeanSquares(sound).map(pa2ToDbSpl));
  const onsets: Onset[] = [];
  for (let step = 0; step < rises.length; step++) {
    if (rises[step]! < ONSET_DB) continue;
    let highest = step;
    for (; step < rises.length && rises[step]! >= ONSET_DB; step++) {
      if (rises[step]! > rises[highest]!) highest = step;
    }
    onsets.push({ timeSeconds: (highest + 1) * SHORT_STEP_SECONDS, riseDb: rises[highest]! });
  }
  const start = Math.round(START_SECONDS / SHORT_STEP_SECONDS);
  return {
    onsets,
    startDb: largest(rises.subarray(0, start)),
    laterDb: largest(rises.subarray(start)),
  };
}

const largest = (rises: Float64Array): number =>
  rises.reduce((highest, rise) => Math.max(highest, rise), 0);
