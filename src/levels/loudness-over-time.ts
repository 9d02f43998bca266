/**
 * Loudness of sounds that change: the course of it in time, and the two numbers that stand for the
 * whole, N5, exceeded for 5 % of the time, by which people judge it (6.4), and the maximum.
 *
 * Source: ISO 532-1:2017, clause 6 (Zwicker's method for time-varying sounds). Checked against the
 * synthetic test signals of its Annex B.4 in `tests/levels/loudness-over-time.test.ts`.
 *
 * @module
 */
import type { Sound } from '../signal/sound.js';
import {
  coreLoudness,
  CRITICAL_BANDS,
  requireBandLevels,
  type SoundField,
} from './core-loudness.js';
import { LoudnessDecay } from './loudness-decay.js';
import { PATTERN_POINTS, spreadLoudness } from './specific-loudness.js';
import { bandLevelDb, FRAME_RATE_HZ, ThirdOctaveFilters } from './third-octave-filters.js';
import { LOUDNESS_BANDS_HZ } from './zwicker-tables.js';

export interface LoudnessOverTime {
  /** Loudness in sone every 2 ms, the first at the first sample. */
  readonly sone: Float64Array;
  /** Loudness exceeded for 5 % of the time, in sone. */
  readonly n5Sone: number;
  /** Highest loudness in sone. */
  readonly maxSone: number;
  /** Specific loudness in sone/Bark, mean over time, shape `[240]`. */
  readonly meanSpecific: Float64Array;
}

/** A value is kept of every so many frames: one each 2 ms (ISO 532-1:2017, 6.3). */
const FRAMES_PER_VALUE = 4;

/** Duration weighting: shares and time constants in s of its two low-passes (ISO 532-1:2017, 6.2). */
const WEIGHTING = [
  { share: 0.47, timeConstantSeconds: 0.0035 },
  { share: 0.53, timeConstantSeconds: 0.07 },
] as const;

/** Steps of the duration weighting from one frame to the next, on a straight line between them. */
const STEPS = 24;

const BANDS = LOUDNESS_BANDS_HZ.length;

/**
 * Loudness of a sound as it changes.
 *
 * @param sound - Samples in Pa, at 32 to 192 kHz.
 * @param field - Free unless given.
 * @throws {RangeError} A sample rate outside that range, or a band above 120 dB.
 */
export function loudnessOverTime(sound: Sound, field: SoundField = 'free'): LoudnessOverTime {
  const filters = new ThirdOctaveFilters(sound.sampleRateHz);
  const meter = new LoudnessMeter(field);
  for (const block of sound.blocks()) meter.push(filters.push(block));
  return meter.finish();
}

/** From the filters' squares to loudness. A frame is finished when the next one is known. */
class LoudnessMeter {
  private readonly levels = new Float64Array(BANDS);
  private core: Float64Array | undefined;
  private next: Float64Array = new Float64Array(CRITICAL_BANDS);
  private readonly decay = new LoudnessDecay(CRITICAL_BANDS);
  private readonly lingering = new Float64Array(CRITICAL_BANDS);
  private readonly pattern = new Float64Array(PATTERN_POINTS);
  private readonly patternSum = new Float64Array(PATTERN_POINTS);
  private readonly lowPasses = WEIGHTING.map(
    ({ timeConstantSeconds }) => new SteppedLowPass(timeConstantSeconds),
  );
  private loudness: number | undefined;
  private frames = 0;
  private weighed = 0;
  private readonly sone: number[] = [];

  constructor(private readonly field: SoundField) {}

  push(squares: Float64Array): void {
    for (let at = 0; at < squares.length; at += BANDS) {
      for (let band = 0; band < BANDS; band++) this.levels[band] = bandLevelDb(squares[at + band]!);
      requireBandLevels(this.levels);
      this.pushFrame();
    }
  }

  finish(): LoudnessOverTime {
    if (this.core !== undefined) {
      this.spread(this.core, this.core);
      this.weigh(this.loudness!, this.loudness!);
    }
    const sone = Float64Array.from(this.sone);
    const sorted = sone.slice().sort();
    return {
      sone,
      n5Sone: quantile(sorted, 0.95),
      maxSone: sorted.at(-1) ?? 0,
      meanSpecific: this.patternSum.map(sum => sum / Math.max(1, this.sone.length)),
    };
  }

  private pushFrame(): void {
    coreLoudness(this.levels, this.field, this.next);
    const now = this.core ?? new Float64Array(CRITICAL_BANDS);
    if (this.core !== undefined) this.spread(now, this.next);
    this.core = this.next;
    this.next = now;
  }

  /** Loudness at a frame, given the frame after it. */
  private spread(now: Float64Array, next: Float64Array): void {
    this.decay.push(now, next, this.lingering);
    const keeps = this.frames % FRAMES_PER_VALUE === 0;
    const loudness = spreadLoudness(this.lingering, keeps ? this.pattern : undefined);
    if (keeps) {
      for (let i = 0; i < PATTERN_POINTS; i++) this.patternSum[i]! += this.pattern[i]!;
    }
    if (this.loudness !== undefined) this.weigh(this.loudness, loudness);
    this.loudness = loudness;
    this.frames += 1;
  }

  private weigh(now: number, next: number): void {
    let weighted = 0;
    this.lowPasses.forEach((lowPass, i) => {
      weighted += WEIGHTING[i]!.share * lowPass.push(now, next);
    });
    if (this.weighed % FRAMES_PER_VALUE === 0) this.sone.push(weighted);
    this.weighed += 1;
  }
}

/** A first-order low-pass between frames. */
class SteppedLowPass {
  private readonly keep: number;
  private value = 0;

  constructor(timeConstantSeconds: number) {
    this.keep = Math.exp(-1 / (FRAME_RATE_HZ * STEPS * timeConstantSeconds));
  }

  /** Takes the input at a frame and at the next one; returns the output at this frame. */
  push(now: number, next: number): number {
    const rise = (next - now) / STEPS;
    const at = (input: number): number => input + (this.value - input) * this.keep;
    this.value = at(now);
    const output = this.value;
    for (let step = 1; step < STEPS; step++) this.value = at(now + step * rise);
    return output;
  }
}

/** Between the two nearest of sorted values; 0 for none. */
function quantile(sorted: Float64Array, share: number): number {
  if (sorted.length === 0) return 0;
  const place = share * (sorted.length - 1);
  const low = sorted[Math.floor(place)]!;
  return low + (sorted[Math.ceil(place)]! - low) * (place % 1);
}
