/**
 * The meter: every level of a sound in one pass, in blocks of any size, with flat memory.
 *
 * @module
 */
import { amplitudeToDb, FULL_SCALE_MEAN_SQUARE, meanSquareToDbfs } from '../signal/decibels.js';
import { PeakBetweenSamples } from '../signal/peak-between-samples.js';
import { requireInRange, requireWhole } from '../signal/require.js';
import type { Levels } from './levels.js';
import { WeightedLevels } from './weighted-levels.js';

/** Sample rates the meter takes, in Hz. */
export const METER_RATES_HZ = { min: 8_000, max: 192_000 } as const;

/** Channels the meter takes. */
export const MAX_METER_CHANNELS = 64;

/**
 * Measures a sound that is handed over in blocks.
 *
 * @example
 * const meter = new Meter({ sampleRateHz: 44_100 });
 * for (const block of sound.blocks()) meter.push([block]);
 * meter.result().laeqDbfs;
 */
export class Meter {
  private readonly sampleRateHz: number;
  private readonly channels: number;
  private readonly weighted: readonly WeightedLevels[];
  private readonly peaks: readonly PeakBetweenSamples[];
  private samples = 0;

  /**
   * @throws {RangeError} A sample rate outside 8 000 to 192 000 Hz, or not 1 to 64 channels.
   */
  constructor(options: { readonly sampleRateHz: number; readonly channels?: number }) {
    const { sampleRateHz, channels = 1 } = options;
    requireInRange(sampleRateHz, 'sampleRateHz', METER_RATES_HZ.min, METER_RATES_HZ.max, 'Hz');
    requireWhole(channels, 'channels', 1, MAX_METER_CHANNELS);
    this.sampleRateHz = sampleRateHz;
    this.channels = channels;
    this.weighted = Array.from({ length: channels }, () => new WeightedLevels(sampleRateHz));
    this.peaks = Array.from({ length: channels }, () => new PeakBetweenSamples());
  }

  /**
   * Takes the next samples, 1.0 = digital full scale: one array per channel, all of one length.
   *
   * @throws {RangeError} Another number of channels, channels of unequal length, or a sample that is
   * not a finite number; the meter must not be used after that.
   */
  push(block: readonly Float64Array[]): void {
    const length = block[0]?.length ?? 0;
    if (block.length !== this.channels || block.some(channel => channel.length !== length)) {
      const lengths = block.map(channel => channel.length).join(', ');
      throw new RangeError(
        `block must hold ${this.channels} arrays of one length, got lengths [${lengths}]`,
      );
    }
    for (let channel = 0; channel < this.channels; channel++) {
      const samples = block[channel]!;
      const weighted = this.weighted[channel]!;
      weighted.push(samples);
      // One look at a sum that is formed anyway replaces a look at each sample.
      if (!Number.isFinite(weighted.sumOfSquaresZ)) this.refuse(samples, channel);
      this.peaks[channel]!.push(samples);
    }
    this.samples += length;
  }

  /** The levels of all samples so far. */
  result(): Levels {
    const sums = this.weighted.map(weighted => weighted.result());
    const count = Math.max(1, this.samples);
    const level = (squares: number[]): number => meanSquareToDbfs(Math.max(...squares) / count);
    return {
      durationS: this.samples / this.sampleRateHz,
      sampleRateHz: this.sampleRateHz,
      channels: this.channels,
      laeqDbfs: level(sums.map(sum => sum.sumOfSquaresA)),
      lceqDbfs: level(sums.map(sum => sum.sumOfSquaresC)),
      lzeqDbfs: level(sums.map(sum => sum.sumOfSquaresZ)),
      lafmaxDbfs: meanSquareToDbfs(Math.max(...sums.map(sum => sum.maxFastA))),
      lasmaxDbfs: meanSquareToDbfs(Math.max(...sums.map(sum => sum.maxSlowA))),
      lcpeakDbfs: amplitudeToDb(
        Math.max(...sums.map(sum => sum.peakC)) / Math.sqrt(FULL_SCALE_MEAN_SQUARE),
      ),
      truePeakDbtp: amplitudeToDb(Math.max(...this.peaks.map(peak => peak.result()))),
    };
  }

  private refuse(samples: Float64Array, channel: number): never {
    const at = samples.findIndex(sample => !Number.isFinite(sample * sample));
    throw new RangeError(
      `samples must be finite numbers, got ${samples[at]} at sample ${this.samples + at} of channel ${channel + 1}`,
    );
  }
}
