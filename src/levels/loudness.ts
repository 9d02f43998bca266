/**
 * Loudness of a programme: integrated, short-term and momentary, and loudness range.
 *
 * Sources: ITU-R BS.1770-5, Annex 1 (K-weighting, channel weights, gating of the integrated value);
 * EBU Tech 3341 (momentary over 0.4 s, short-term over 3 s); EBU Tech 3342 (loudness range). Loudness
 * serves to compare sounds; it is no measure of exposure.
 *
 * Windows begin at every tick of 10 ms, gating blocks at every tenth: maxima are found wherever a
 * sound begins. A sound shorter than a window has no loudness over that window (`-Infinity`).
 *
 * @module
 */
import { dbToPower, powerToDb } from '../signal/decibels.js';
import { TICK_SECONDS } from './weighted-levels.js';

export interface LoudnessLevels {
  /** LUFS. */
  readonly integratedLufs: number;
  /** LU. 0 for a steady sound and for one shorter than 3 s. */
  readonly rangeLu: number;
  /** LUFS. */
  readonly maxShortTermLufs: number;
  /** LUFS. */
  readonly maxMomentaryLufs: number;
}

/** Loudness of a mean square of 1 (BS.1770-5, Annex 1). */
const OFFSET_LUFS = -0.691;

/** Windows in ticks: 0.4 s and 3 s. */
const MOMENTARY_TICKS = Math.round(0.4 / TICK_SECONDS);
const SHORT_TERM_TICKS = Math.round(3 / TICK_SECONDS);

/** Gating blocks, and short-term values for the range, begin every 0.1 s. */
const STEP_TICKS = Math.round(0.1 / TICK_SECONDS);

/** Blocks below do not count, in LUFS (BS.1770-5; Tech 3342). */
const ABSOLUTE_GATE_LUFS = -70;

/** Blocks this much below the mean of those left do not count, in LU: BS.1770-5, and Tech 3342. */
const RELATIVE_GATE_LU = -10;
const RANGE_GATE_LU = -20;

/** The loudness range goes from one percentile to the other (Tech 3342). */
const RANGE_PERCENTILES = [0.1, 0.95] as const;

/** Weight of the channels to the left and right rear, as power (BS.1770-5, table 3: 1.41). */
const SURROUND = 1.41;

/**
 * Weights by number of channels, in the order of WAV files: left, right, centre, low frequency
 * effects (which do not count), rear left and right, side left and right. Other numbers of channels
 * have no usual order: all count in full.
 */
const CHANNEL_WEIGHTS: Readonly<Record<number, readonly number[]>> = {
  5: [1, 1, 1, SURROUND, SURROUND],
  6: [1, 1, 1, 0, SURROUND, SURROUND],
  8: [1, 1, 1, 0, 1, 1, SURROUND, SURROUND],
};

/** Collects the K-weighted power of all channels, tick by tick. */
export class Loudness {
  private readonly weights: readonly number[];
  private readonly tickSamples: number;
  /** Mean squares of the last 3 s, oldest overwritten. */
  private readonly recent = new Float64Array(SHORT_TERM_TICKS);
  private momentarySum = 0;
  private shortTermSum = 0;
  private ticks = 0;
  private maxMomentary = 0;
  private maxShortTerm = 0;
  /** Mean squares of the gating blocks, and of the short-term windows, every 0.1 s. */
  private readonly blocks: number[] = [];
  private readonly shortTerms: number[] = [];

  constructor(sampleRateHz: number, channels: number) {
    this.weights = CHANNEL_WEIGHTS[channels] ?? new Array<number>(channels).fill(1);
    this.tickSamples = sampleRateHz * TICK_SECONDS;
  }

  /** Takes one tick: the sum of K-weighted squares of each channel. */
  push(sumsOfSquares: readonly number[]): void {
    let power = 0;
    for (let channel = 0; channel < this.weights.length; channel++) {
      power += (this.weights[channel]! * sumsOfSquares[channel]!) / this.tickSamples;
    }
    const { recent, ticks } = this;
    const leaves = (back: number): number =>
      recent[(ticks - back + SHORT_TERM_TICKS) % SHORT_TERM_TICKS]!;
    this.momentarySum = Math.max(0, this.momentarySum + power - leaves(MOMENTARY_TICKS));
    this.shortTermSum = Math.max(0, this.shortTermSum + power - leaves(0));
    recent[ticks % SHORT_TERM_TICKS] = power;
    this.ticks += 1;
    if (this.ticks >= MOMENTARY_TICKS) this.takeMomentary(this.momentarySum / MOMENTARY_TICKS);
    if (this.ticks >= SHORT_TERM_TICKS) this.takeShortTerm(this.shortTermSum / SHORT_TERM_TICKS);
  }

  result(): LoudnessLevels {
    const audible = this.blocks.filter(power => power > powerOf(ABSOLUTE_GATE_LUFS));
    return {
      integratedLufs: loudnessOf(mean(above(audible, RELATIVE_GATE_LU))),
      rangeLu: this.range(),
      maxShortTermLufs: loudnessOf(this.maxShortTerm),
      maxMomentaryLufs: loudnessOf(this.maxMomentary),
    };
  }

  private takeMomentary(power: number): void {
    this.maxMomentary = Math.max(this.maxMomentary, power);
    if ((this.ticks - MOMENTARY_TICKS) % STEP_TICKS === 0) this.blocks.push(power);
  }

  private takeShortTerm(power: number): void {
    this.maxShortTerm = Math.max(this.maxShortTerm, power);
    if ((this.ticks - SHORT_TERM_TICKS) % STEP_TICKS === 0) this.shortTerms.push(power);
  }

  private range(): number {
    const audible = this.shortTerms.filter(power => power > powerOf(ABSOLUTE_GATE_LUFS));
    const kept = above(audible, RANGE_GATE_LU).sort((a, b) => a - b);
    if (kept.length === 0) return 0;
    const [low, high] = RANGE_PERCENTILES.map(
      share => kept[Math.round(share * (kept.length - 1))]!,
    ) as [number, number];
    return powerToDb(high / low);
  }
}

/** The powers above a gate re the mean of all. */
function above(powers: readonly number[], gateLu: number): number[] {
  const gate = mean(powers) * dbToPower(gateLu);
  return powers.filter(power => power > gate);
}

const mean = (powers: readonly number[]): number =>
  powers.length === 0 ? 0 : powers.reduce((sum, power) => sum + power, 0) / powers.length;

const loudnessOf = (power: number): number => OFFSET_LUFS + powerToDb(power);

const powerOf = (lufs: number): number => dbToPower(lufs - OFFSET_LUFS);
