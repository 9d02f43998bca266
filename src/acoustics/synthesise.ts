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
  timelineDurationS,
} from '../gradients/timeline.js';
import { fftSizeFor, realSpectrum, signalOfSpectrum } from '../signal/fft.js';
import { SAMPLE_RATE_HZ, type Sound } from '../signal/sound.js';
import { type Listening, listeningSpectra } from './listening.js';
import type { AxisSpectra } from './response.js';
import { sampleWaveform } from './sample-waveform.js';

/** How long a piece rings on after its end, in s: the slowest mode has decayed by more than 90 dB. */
const RINGING_S = 0.35;

/**
 * Largest relative error of a period that tiling may cause: 20 parts per million, a hundredth of
 * what an ear can tell and a fiftieth of what a test may find (0.1 %).
 */
const PERIOD_ERROR = 2e-5;

/** Repeats are joined up to about this length, in s, to keep pieces small. */
const LONGEST_JOINED_S = 8;

/** Makes sounds of timelines, in Pa at the listener; what it has computed once it keeps. */
export interface Synthesiser {
  /** The sound of a timeline, as long as it or `durationS`, whichever is shorter. */
  readonly sound: (timeline: Timeline, durationS?: number) => Sound;
}

/** A synthesiser for one listening place. */
export function synthesiser(listening: Listening): Synthesiser {
  const pieces = new Pieces(listening);
  return {
    sound: (timeline, durationS = Infinity) => {
      const lengthS = Math.min(timelineDurationS(timeline), durationS);
      const length = Math.round(lengthS * SAMPLE_RATE_HZ);
      return {
        sampleRateHz: SAMPLE_RATE_HZ,
        length,
        blocks: () => overlapped(timeline, pieces, length),
      };
    },
  };
}

/** Lays pieces over one another and hands out the sum, piece by piece, until `length` is reached. */
function* overlapped(timeline: Timeline, pieces: Pieces, length: number): Generator<Float64Array> {
  let pending = new Float64Array(0);
  let done = 0;
  for (const { startS, endS, layers, count, periodS } of pieceTimes(timeline)) {
    if (done >= length) return;
    const advance = Math.round(endS * SAMPLE_RATE_HZ) - Math.round(startS * SAMPLE_RATE_HZ);
    for (const { block, gain } of layers) {
      const piece = pieces.of(block, periodS, count);
      if (piece.length > pending.length) {
        const longer = new Float64Array(Math.max(piece.length, advance));
        longer.set(pending);
        pending = longer;
      }
      for (let i = 0; i < piece.length; i++) pending[i]! += gain * piece[i]!;
    }
    if (pending.length < advance) {
      const longer = new Float64Array(advance);
      longer.set(pending);
      pending = longer;
    }
    const take = Math.min(advance, length - done);
    yield pending.slice(0, take);
    done += take;
    pending.copyWithin(0, advance);
    pending.fill(0, Math.max(0, pending.length - advance));
  }
}

/** One placement: which repeats of which segment, and when. */
interface Placement {
  readonly startS: number;
  readonly endS: number;
  readonly layers: Segment['layers'];
  readonly periodS: number;
  readonly count: number;
}

function* pieceTimes(timeline: Timeline): Generator<Placement> {
  let segmentS = 0;
  for (const { durationS: periodS, repeats, layers } of timeline.segments) {
    const joined = repeatsToJoin(periodS, repeats);
    for (let played = 0; played < repeats; played += joined) {
      const count = Math.min(joined, repeats - played);
      const startS = segmentS + played * periodS;
      yield { startS, endS: startS + count * periodS, layers, periodS, count };
    }
    segmentS += repeats * periodS;
  }
}

/** The smallest number of periods that together last a whole number of samples, nearly enough. */
function repeatsToJoin(periodS: number, repeats: number): number {
  const periodSamples = periodS * SAMPLE_RATE_HZ;
  for (let count = 1; count < repeats; count++) {
    const samples = count * periodSamples;
    if (Math.abs(samples - Math.round(samples)) <= PERIOD_ERROR * samples) return count;
    if (samples > LONGEST_JOINED_S * SAMPLE_RATE_HZ) return count;
  }
  return repeats;
}

/** Pieces computed so far: blocks with their ringing, in Pa. */
class Pieces {
  private readonly pieces = new Map<GradientBlock, Map<number, Float64Array>>();
  private readonly responses = new Map<number, AxisSpectra>();

  constructor(private readonly listening: Listening) {}

  of(block: GradientBlock, periodS: number, count: number): Float64Array {
    let ofBlock = this.pieces.get(block);
    if (ofBlock === undefined) this.pieces.set(block, (ofBlock = new Map<number, Float64Array>()));
    let piece = ofBlock.get(count);
    if (piece === undefined) ofBlock.set(count, (piece = this.compute(block, periodS, count)));
    return piece;
  }

  private compute(block: GradientBlock, periodS: number, count: number): Float64Array {
    const length = Math.ceil((count * periodS + RINGING_S) * SAMPLE_RATE_HZ);
    const size = fftSizeFor(length);
    const response = this.responseFor(size);
    const pressure = new Float64Array(size + 2);
    for (const axis of AXES) {
      const waveform = block[axis];
      if (waveform === undefined) continue;
      const gradient = realSpectrum(sampleWaveform(waveform, SAMPLE_RATE_HZ, size, count, periodS));
      addProduct(pressure, gradient, response[axis]);
    }
    return signalOfSpectrum(pressure).subarray(0, length);
  }

  private responseFor(size: number): AxisSpectra {
    let spectra = this.responses.get(size);
    if (spectra === undefined) {
      spectra = listeningSpectra(this.listening, size, SAMPLE_RATE_HZ);
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
