/**
 * From a gradient timeline to the sound at the ear.
 *
 * Pressure is the sum over axes of response times gradient, in the frequency domain. Every distinct
 * block of the timeline is computed once, alone, with its ringing; the sound is these pieces laid
 * over one another where they are played. Repeats of a short period are first joined to a piece
 * whose length is a whole number of samples, so that tiling it shifts no line.
 *
 * @module
 */
import {
  AXES,
  type GradientBlock,
  type Segment,
  type Timeline,
  timelineDurationSeconds,
} from '../gradients/timeline.js';
import { fftSizeFor, realSpectrum, signalOfSpectrum } from '../signal/fft.js';
import { SAMPLE_RATE_HZ, type Sound } from '../signal/sound.js';
import { continuedWaveform } from './continued-waveform.js';
import { impulsesOf, LEAD, RINGING_SECONDS, spectraOf } from './impulses.js';
import type { Listening } from './listening.js';
import type { AxisSpectra } from './response.js';
import { MARGIN, sampleWaveform } from './sample-waveform.js';

/**
 * Largest relative error of a period that tiling may cause: 20 parts per million, a hundredth of
 * what an ear can tell and a fiftieth of what a test may find (0.1 %).
 */
const PERIOD_ERROR = 2e-5;

/** Repeats are joined to at least and at most about these lengths, in s. */
const SHORTEST_JOINED_SECONDS = 0.5;
const LONGEST_JOINED_SECONDS = 8;

/** Makes sounds of timelines, in Pa at the listener; what it has computed once it keeps. */
export interface Synthesiser {
  /** The sound of a timeline, as long as it or `durationSeconds`, whichever is shorter. */
  readonly sound: (timeline: Timeline, durationSeconds?: number) => Sound;
}

/** A synthesiser for one listening place. */
export function synthesiser(listening: Listening): Synthesiser {
  const pieces = new Pieces(listening);
  return {
    sound: (timeline, durationSeconds = Infinity) => {
      const lengthSeconds = Math.min(timelineDurationSeconds(timeline), durationSeconds);
      const length = Math.round(lengthSeconds * SAMPLE_RATE_HZ);
      return {
        sampleRateHz: SAMPLE_RATE_HZ,
        length,
        blocks: () => withoutLead(overlapped(timeline, pieces, length + LEAD)),
      };
    },
  };
}

/** Every piece begins `LEAD` samples before its time, and so does what they add up to. */
function* withoutLead(blocks: Iterable<Float64Array>): Generator<Float64Array> {
  let lead = LEAD;
  for (const block of blocks) {
    const skipped = Math.min(lead, block.length);
    lead -= skipped;
    if (skipped < block.length) yield skipped === 0 ? block : block.subarray(skipped);
  }
}

/**
 * Lays pieces over one another and hands out the sum, placement by placement, until `length` is
 * reached. Once the same placement has come three times at the same distance, nothing older rings on
 * and every further block equals the last: it is handed out again instead of being computed.
 */
function* overlapped(timeline: Timeline, pieces: Pieces, length: number): Generator<Float64Array> {
  let ringing: Float64Array = new Float64Array(0);
  let block: Float64Array = new Float64Array(0);
  let before: Placement | undefined;
  let alike = 0;
  let done = 0;
  for (const placement of placements(timeline)) {
    if (done >= length) return;
    const { startSeconds, endSeconds } = placement;
    const advance =
      Math.round(endSeconds * SAMPLE_RATE_HZ) - Math.round(startSeconds * SAMPLE_RATE_HZ);
    const sameAgain =
      before?.layers === placement.layers &&
      before.count === placement.count &&
      block.length === advance;
    alike = sameAgain ? alike + 1 : 0;
    if (alike < 2 || advance < RINGING_SECONDS * SAMPLE_RATE_HZ) {
      [block, ringing] = lay(pieces.of(placement), advance, ringing);
    }
    before = placement;
    yield done + advance <= length ? block : block.subarray(0, length - done);
    done += advance;
  }
  if (done >= length) return;
  const end = new Float64Array(length - done);
  end.set(ringing.subarray(0, end.length));
  yield end;
}

/** One placement's sound up to the next, and what rings on after that. */
function lay(
  layers: readonly WeightedPiece[],
  advance: number,
  ringing: Float64Array,
): readonly [block: Float64Array, ringing: Float64Array] {
  const longest = Math.max(ringing.length, ...layers.map(({ piece }) => piece.length));
  const block = new Float64Array(advance);
  const after = new Float64Array(Math.max(0, longest - advance));
  block.set(ringing.subarray(0, advance));
  after.set(ringing.subarray(advance));
  for (const { piece, gain } of layers) {
    const within = Math.min(piece.length, advance);
    for (let i = 0; i < within; i++) block[i]! += gain * piece[i]!;
    for (let i = advance; i < piece.length; i++) after[i - advance]! += gain * piece[i]!;
  }
  return [block, after];
}

/** A block's sound and the gain it is played at. */
interface WeightedPiece {
  readonly piece: Float64Array;
  readonly gain: number;
}

/** One placement: which repeats of which segment, and when. */
interface Placement {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly layers: Segment['layers'];
  readonly periodSeconds: number;
  readonly count: number;
}

function* placements(timeline: Timeline): Generator<Placement> {
  let segmentSeconds = 0;
  for (const { durationSeconds: periodSeconds, repeats, layers } of timeline.segments) {
    const joined = repeatsToJoin(periodSeconds, repeats);
    for (let played = 0; played < repeats; played += joined) {
      const count = Math.min(joined, repeats - played);
      const startSeconds = segmentSeconds + played * periodSeconds;
      yield {
        startSeconds,
        endSeconds: startSeconds + count * periodSeconds,
        layers,
        periodSeconds,
        count,
      };
    }
    segmentSeconds += repeats * periodSeconds;
  }
}

/**
 * The smallest number of periods that together last a whole number of samples, nearly enough, and
 * long enough for a piece to be worth its overhead.
 */
function repeatsToJoin(periodSeconds: number, repeats: number): number {
  const periodSamples = periodSeconds * SAMPLE_RATE_HZ;
  const shortest = Math.ceil((SHORTEST_JOINED_SECONDS * SAMPLE_RATE_HZ) / periodSamples);
  for (let count = shortest; count < repeats; count++) {
    const samples = count * periodSamples;
    if (Math.abs(samples - Math.round(samples)) <= PERIOD_ERROR * samples) return count;
    if (samples > LONGEST_JOINED_SECONDS * SAMPLE_RATE_HZ) return count;
  }
  return repeats;
}

interface Room {
  readonly waveforms: Float64Array;
  readonly spectrum: Float64Array;
  readonly pressure: Float64Array;
}

/** Pieces computed so far: blocks with their ringing, in Pa. */
class Pieces {
  private readonly pieces = new WeakMap<GradientBlock, Map<number, Float64Array>>();
  private readonly responses = new Map<number, AxisSpectra>();
  private impulses: AxisSpectra | undefined;
  private room: Room | undefined;

  constructor(private readonly listening: Listening) {}

  /** The pieces of a placement. */
  of({ layers, periodSeconds, count }: Placement): readonly WeightedPiece[] {
    return layers.map(({ block, gain }) => ({
      piece: this.piece(block, periodSeconds, count),
      gain,
    }));
  }

  private piece(block: GradientBlock, periodSeconds: number, count: number): Float64Array {
    let ofBlock = this.pieces.get(block);
    if (ofBlock === undefined) this.pieces.set(block, (ofBlock = new Map<number, Float64Array>()));
    let piece = ofBlock.get(count);
    if (piece === undefined)
      ofBlock.set(count, (piece = this.compute(block, periodSeconds, count)));
    return piece;
  }

  private compute(block: GradientBlock, periodSeconds: number, count: number): Float64Array {
    const length = LEAD + Math.ceil((count * periodSeconds + RINGING_SECONDS) * SAMPLE_RATE_HZ);
    const size = fftSizeFor(length);
    const response = this.responseFor(size);
    const { waveforms, spectrum, pressure } = this.roomFor(size);
    pressure.fill(0);
    for (const axis of AXES) {
      const waveform = block[axis];
      if (waveform === undefined) continue;
      const samples = sampleWaveform(continuedWaveform(waveform, periodSeconds), {
        sampleRateHz: SAMPLE_RATE_HZ,
        length: size,
        lead: LEAD,
        count,
        periodSeconds,
        scratch: waveforms,
      });
      addProduct(pressure, realSpectrum(samples, spectrum), response[axis]);
    }
    return signalOfSpectrum(pressure).subarray(0, length);
  }

  /** Room to work in: pieces come by the hundred, all of a size or two. */
  private roomFor(size: number): Room {
    if (this.room?.spectrum.length !== size + 2) {
      this.room = {
        waveforms: new Float64Array(size + MARGIN),
        spectrum: new Float64Array(size + 2),
        pressure: new Float64Array(size + 2),
      };
    }
    return this.room;
  }

  /**
   * The response on the bins of an FFT. It is computed once, as impulse responses; transforming these
   * to another size is much cheaper than computing hundreds of thousands of bins of a model.
   */
  private responseFor(size: number): AxisSpectra {
    this.impulses ??= impulsesOf(this.listening);
    let spectra = this.responses.get(size);
    if (spectra === undefined) {
      spectra = spectraOf(this.impulses, size);
      this.responses.set(size, spectra);
    }
    return spectra;
  }
}

/** `sum += a x b` for interleaved complex spectra. */
function addProduct(sum: Float64Array, a: Float64Array, b: Float64Array): void {
  for (let i = 0; i < sum.length; i += 2) {
    const aRe = a[i]!;
    const aIm = a[i + 1]!;
    const bRe = b[i]!;
    const bIm = b[i + 1]!;
    sum[i]! += aRe * bRe - aIm * bIm;
    sum[i + 1]! += aRe * bIm + aIm * bRe;
  }
}
