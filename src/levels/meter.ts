/**
 * The meter: every level of a sound in one pass, in blocks of any size, with flat memory.
 *
 * @module
 */
import {
  amplitudeToDb,
  FULL_SCALE_MEAN_SQUARE,
  meanSquareToDbfs,
  powerToDb,
} from '../signal/decibels.js';
import { PIECE } from '../signal/kernels.js';
import { PeakBetweenSamples } from '../signal/peak-between-samples.js';
import { requireInRange, requireWhole } from '../signal/require.js';
import { LevelStatistics } from './level-statistics.js';
import type { LafPercentiles, Levels, ThirdOctaveLevel } from './levels.js';
import { Loudness } from './loudness.js';
import { ThirdOctaves } from './third-octaves.js';
import { WeightedLevels } from './weighted-levels.js';

/** Sample rates the meter takes, in Hz. */
export const METER_RATES_HZ = { min: 8_000, max: 192_000 } as const;

/** Channels the meter takes. */
export const MAX_METER_CHANNELS = 64;

/** The highest 16-bit code: what a clipped recording holds at its crests. 1.0 = full scale. */
const CLIPPED_FROM = 32_767 / 32_768;

/** Samples beyond this, re full scale, are a file's mistake: 200 dB; levels would be numbers without a sense. */
const MOST = 1e10;

/** What is metered. */
export interface MeterOptions {
  readonly sampleRateHz: number;
  /** 1 unless given. */
  readonly channels?: number;
  /** Whether third octaves are measured, which takes about a third of the time; true unless given. */
  readonly bands?: boolean;
  /** Samples as large as this count as clipped; the highest 16-bit code unless given. */
  readonly clippedFrom?: number;
}

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
  private readonly channels: readonly ChannelMeter[];
  private readonly loudness: Loudness;
  private samples = 0;
  private levels: Levels | undefined;

  /** @throws {RangeError} A sample rate outside 8 000 to 192 000 Hz, or not 1 to 64 channels. */
  constructor(options: MeterOptions) {
    const { sampleRateHz, channels = 1, bands = true, clippedFrom = CLIPPED_FROM } = options;
    requireInRange(sampleRateHz, 'sampleRateHz', METER_RATES_HZ.min, METER_RATES_HZ.max, 'Hz');
    requireWhole(channels, 'channels', 1, MAX_METER_CHANNELS);
    this.sampleRateHz = sampleRateHz;
    this.channels = Array.from(
      { length: channels },
      () => new ChannelMeter(sampleRateHz, bands, clippedFrom),
    );
    this.loudness = new Loudness(sampleRateHz, channels);
  }

  /**
   * Takes the next samples, 1.0 = digital full scale: one array per channel, all of one length.
   *
   * @throws {RangeError} Another number of channels, channels of unequal length, or a sample that is
   * not a number within 1e10 of zero; the meter must not be used after that.
   * @throws {TypeError} The result was asked for before.
   */
  push(block: readonly Float64Array[]): void {
    if (this.levels !== undefined) throw new TypeError('the meter has given its result');
    const length = block[0]?.length ?? 0;
    if (block.length !== this.channels.length || block.some(samples => samples.length !== length)) {
      const lengths = block.map(samples => samples.length).join(', ');
      throw new RangeError(
        `block must hold ${this.channels.length} arrays of one length, got lengths [${lengths}]`,
      );
    }
    // A piece goes through all parts of the meter before the next: it stays in the fast memory.
    for (let from = 0; from < length; from += PIECE) {
      this.pushPiece(block.map(samples => samples.subarray(from, from + PIECE)));
    }
  }

  /** The levels of all samples. Nothing can be pushed after. */
  result(): Levels {
    this.levels ??= this.finish();
    return this.levels;
  }

  private pushPiece(piece: readonly Float64Array[]): void {
    const powers = this.channels.map((channel, index) => {
      const sumsK = channel.push(piece[index]!);
      // One look at a sum and a peak that are found anyway replaces a look at each sample.
      if (!channel.took(piece[index]!)) this.refuse(piece[index]!, index);
      return sumsK;
    });
    this.samples += piece[0]!.length;
    for (let tick = 0; tick < powers[0]!.length; tick++) {
      this.loudness.push(powers.map(sums => sums[tick]!));
    }
  }

  private refuse(samples: Float64Array, channel: number): never {
    const at = samples.findIndex(sample => !(Math.abs(sample) <= MOST));
    const wanted = Number.isFinite(samples[at]!) ? `from ${-MOST} to ${MOST}` : 'finite numbers';
    throw new RangeError(
      `samples must be ${wanted}, got ${samples[at]} at sample ${this.samples + at} of channel ${channel + 1}`,
    );
  }

  private finish(): Levels {
    const { sampleRateHz, samples } = this;
    const durationSeconds = samples / sampleRateHz;
    const channels = this.channels.map(channel => channel.finish());
    const highest = (of: (channel: ChannelResult) => number): number =>
      Math.max(...channels.map(of));
    const equivalent = (of: (channel: ChannelResult) => number): number =>
      meanSquareToDbfs(highest(of) / Math.max(1, samples));
    const loudest = channels.reduce((a, b) => (b.sumOfSquaresA > a.sumOfSquaresA ? b : a));
    const loudness = this.loudness.result();
    const laeqDbfs = equivalent(channel => channel.sumOfSquaresA);
    return {
      durationSeconds,
      sampleRateHz,
      channels: channels.length,
      laeqDbfs,
      lceqDbfs: equivalent(channel => channel.sumOfSquaresC),
      lzeqDbfs: equivalent(channel => channel.sumOfSquaresZ),
      lafmaxDbfs: meanSquareToDbfs(highest(channel => channel.maxFastA)),
      lasmaxDbfs: meanSquareToDbfs(highest(channel => channel.maxSlowA)),
      lafPercentilesDbfs: percentiles(percent =>
        highest(channel => channel.laf.exceededDbfs(percent)),
      ),
      soundExposureLevelDb: laeqDbfs + powerToDb(durationSeconds),
      lcpeakDbfs: amplitudeToDb(highest(channel => channel.peakC) / FULL_SCALE_RMS),
      truePeakDbtp: amplitudeToDb(highest(channel => channel.peak)),
      integratedLufs: loudness.integratedLufs,
      loudnessRangeLu: loudness.rangeLu,
      maxShortTermLufs: loudness.maxShortTermLufs,
      maxMomentaryLufs: loudness.maxMomentaryLufs,
      thirdOctaves: loudest.thirdOctaves,
      clippedSamples: channels.reduce((sum, channel) => sum + channel.clipped, 0),
      offset:
        channels.reduce((a, b) => (Math.abs(b.sum) > Math.abs(a.sum) ? b : a)).sum /
        Math.max(1, samples),
    };
  }
}

/** RMS of a full-scale sine. */
const FULL_SCALE_RMS = Math.sqrt(FULL_SCALE_MEAN_SQUARE);

/** What one channel comes to. */
interface ChannelResult extends ReturnType<WeightedLevels['result']> {
  readonly laf: LevelStatistics;
  readonly peak: number;
  readonly peakC: number;
  readonly clipped: number;
  readonly thirdOctaves: readonly ThirdOctaveLevel[];
}

/** All parts of the meter that look at one channel. */
class ChannelMeter {
  private readonly weighted: WeightedLevels;
  private readonly peak = new PeakBetweenSamples();
  private readonly peakC = new PeakBetweenSamples();
  private readonly thirdOctaves: ThirdOctaves | undefined;
  private clipped = 0;
  private readonly laf = new LevelStatistics();

  constructor(
    sampleRateHz: number,
    bands: boolean,
    private readonly clippedFrom: number,
  ) {
    this.weighted = new WeightedLevels(sampleRateHz);
    this.thirdOctaves = bands ? new ThirdOctaves(sampleRateHz) : undefined;
  }

  /** Whether the samples that were pushed last are numbers that can be metered. */
  took(samples: Float64Array): boolean {
    if (!Number.isFinite(this.weighted.sumOfSquaresZ)) return false;
    return this.peak.soFar <= MOST || samples.every(sample => Math.abs(sample) <= MOST);
  }

  /** Returns the sums of K-weighted squares of the ticks that fall into these samples. */
  push(samples: Float64Array): number[] {
    const ticks = this.weighted.push(samples, cWeighted => {
      this.peakC.push(cWeighted);
    });
    if (!Number.isFinite(this.weighted.sumOfSquaresZ)) return [];
    this.peak.push(samples);
    this.thirdOctaves?.push(samples);
    if (this.peak.soFar >= this.clippedFrom) {
      this.clipped += countFrom(this.clippedFrom, samples);
    }
    for (const { fastA } of ticks) this.laf.push(fastA);
    return ticks.map(({ sumOfSquaresK }) => sumOfSquaresK);
  }

  finish(): ChannelResult {
    return {
      ...this.weighted.result(),
      laf: this.laf,
      peak: this.peak.result(),
      peakC: this.peakC.result(),
      clipped: this.clipped,
      thirdOctaves: (this.thirdOctaves?.finish() ?? []).map(({ nominalHz, meanSquare }) => ({
        nominalHz,
        levelDbfs: meanSquareToDbfs(meanSquare),
      })),
    };
  }
}

function percentiles(exceeded: (percent: number) => number): LafPercentiles {
  return {
    l1: exceeded(1),
    l5: exceeded(5),
    l10: exceeded(10),
    l50: exceeded(50),
    l90: exceeded(90),
    l95: exceeded(95),
    l99: exceeded(99),
  };
}

function countFrom(least: number, samples: Float64Array): number {
  let count = 0;
  for (const sample of samples) if (Math.abs(sample) >= least) count += 1;
  return count;
}
