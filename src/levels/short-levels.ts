/**
 * Short levels: how loud a sound is from one hundredth of a second to the next, and how fast it rises.
 *
 * The A-weighted level over the last 10 ms, looked at every millisecond. Windows and their use for
 * what is sudden are our own; see `onset-suddenness.ts` for what is known of startle.
 *
 * @module
 */
import { requireInRange } from '../signal/require.js';
import type { Sound } from '../signal/sound.js';
import { METER_RATES_HZ } from './meter.js';
import { WeightedLevels } from './weighted-levels.js';

/** The level is the mean square over this, in s. */
const OVER_SECONDS = 0.01;

/** The level is looked at this often, in s. */
export const SHORT_STEP_SECONDS = 0.001;

/** A rise happens within this, in s. */
const RISE_SECONDS = 0.05;

/** Level of a quiet bedroom, in dB(A) (WHO, Guidelines for community noise, 1999, table 4.1). */
export const QUIET_DBA = 30;

/** Takes the samples of one channel in blocks; memory grows by one number a millisecond. */
export class ShortLevels {
  private readonly weighted: WeightedLevels;
  private readonly energies: number[] = [];

  /** @throws {RangeError} A sample rate outside 8 to 192 kHz. */
  constructor(private readonly sampleRateHz: number) {
    requireInRange(sampleRateHz, 'sampleRateHz', METER_RATES_HZ.min, METER_RATES_HZ.max, 'Hz');
    this.weighted = new WeightedLevels(sampleRateHz, SHORT_STEP_SECONDS);
  }

  push(block: Float64Array): void {
    for (const { sumOfSquaresA } of this.weighted.push(block)) this.energies.push(sumOfSquaresA);
  }

  /**
   * A-weighted mean squares, in the samples' own unit squared, one at the end of every millisecond.
   * Before the first sample there is silence.
   */
  result(): Float64Array {
    const { energies, sampleRateHz } = this;
    const steps = Math.round(OVER_SECONDS / SHORT_STEP_SECONDS);
    return Float64Array.from(energies, (_, i) => {
      let sum = 0;
      for (let k = Math.max(0, i - steps + 1); k <= i; k++) sum += energies[k]!;
      return sum / (OVER_SECONDS * sampleRateHz);
    });
  }
}

/** The mean squares of a whole sound, see {@link ShortLevels.result}. */
export function shortMeanSquares(sound: Sound): Float64Array {
  const levels = new ShortLevels(sound.sampleRateHz);
  for (const block of sound.blocks()) levels.push(block);
  return levels.result();
}

/**
 * How far each level is above the lowest of the 50 ms before it, in dB; before the start it was quiet.
 *
 * @param levelsDb - dB(A) at the listener's place, one a millisecond. What is below
 *   {@link QUIET_DBA} counts as that: a room hides it.
 */
export function risesOf(levelsDb: Float64Array): Float64Array {
  const steps = Math.round(RISE_SECONDS / SHORT_STEP_SECONDS);
  const heardDb = levelsDb.map(levelDb => Math.max(QUIET_DBA, levelDb));
  const rises = new Float64Array(heardDb.length);
  for (let i = 0; i < heardDb.length; i++) {
    let lowest = i < steps ? QUIET_DBA : Infinity;
    for (let k = Math.max(0, i - steps); k < i; k++) {
      if (heardDb[k]! < lowest) lowest = heardDb[k]!;
    }
    rises[i] = Math.max(0, heardDb[i]! - lowest);
  }
  return rises;
}
