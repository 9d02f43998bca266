/**
 * The audio of a kit, decoded and measured again.
 *
 * @module
 */
import type { AudioStream } from '../../formats/audio-stream.js';
import type { Levels } from '../../levels/levels.js';
import { Meter } from '../../levels/meter.js';
import { ShortLevels } from '../../levels/short-levels.js';

/** A stretch of a file, in s. */
export interface Stretch {
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** The voice reference: at talking level whatever the ceiling is, so it is in no maximum. */
  readonly isReference?: true;
}

export interface MeasuredFile {
  readonly durationSeconds: number;
  /** Levels of each stretch that was asked for. */
  readonly stretches: readonly Levels[];
  /** Of what lies between stretches. */
  readonly lafmaxBetweenDbfs: number;
  /** Of everything but the reference, stretches and what lies between them. */
  readonly lafmaxDbfs: number;
  readonly lcpeakDbfs: number;
  /** Of everything. */
  readonly truePeakDbtp: number;
  /** A-weighted mean squares over 10 ms, one a millisecond, of everything. */
  readonly shortMeanSquares: Float64Array;
  readonly channelsDiffer: boolean;
}

/**
 * Measures stretches of the first channel, and whether the others are like it.
 *
 * @param stretches - In order, none overlapping the next.
 * @throws {UserError} `BAD_AUDIO`: it does not decode.
 */
export async function measureAudio(
  audio: AudioStream,
  stretches: readonly Stretch[],
): Promise<MeasuredFile> {
  const { sampleRateHz } = audio;
  const meters = pieces(stretches, sampleRateHz);
  const short = new ShortLevels(sampleRateHz);
  let piece = 0;
  let done = 0;
  let channelsDiffer = false;
  for await (const [samples, ...others] of audio.blocks()) {
    channelsDiffer ||= others.some(other => !isSame(other, samples!));
    short.push(samples!);
    for (let i = 0; i < samples!.length;) {
      while (done >= meters[piece]!.end) piece += 1;
      const { end, meter } = meters[piece]!;
      const count = Math.min(samples!.length - i, end - done);
      meter.push([samples!.subarray(i, i + count)]);
      i += count;
      done += count;
    }
  }
  const all = meters.map(({ meter }) => meter.result());
  const gated = all.filter((_, i) => !meters[i]!.isReference);
  return {
    durationSeconds: done / sampleRateHz,
    stretches: all.filter((_, i) => meters[i]!.isStretch),
    lafmaxBetweenDbfs: Math.max(
      ...all.filter((_, i) => !meters[i]!.isStretch).map(({ lafmaxDbfs }) => lafmaxDbfs),
    ),
    lafmaxDbfs: Math.max(...gated.map(({ lafmaxDbfs }) => lafmaxDbfs)),
    lcpeakDbfs: Math.max(...gated.map(({ lcpeakDbfs }) => lcpeakDbfs)),
    truePeakDbtp: Math.max(...all.map(({ truePeakDbtp }) => truePeakDbtp)),
    shortMeanSquares: short.result(),
    channelsDiffer,
  };
}

/** A plain loop, since it looks at every sample of a disc. */
function isSame(a: Float64Array, b: Float64Array): boolean {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

/** The stretches and the gaps between them as pieces that follow one another, each with its meter. */
function pieces(stretches: readonly Stretch[], sampleRateHz: number) {
  const ends = stretches.flatMap(({ startSeconds, endSeconds, isReference = false }) => [
    { end: Math.round(startSeconds * sampleRateHz), isStretch: false, isReference: false },
    { end: Math.round(endSeconds * sampleRateHz), isStretch: true, isReference },
  ]);
  return [...ends, { end: Infinity, isStretch: false, isReference: false }].map(piece => ({
    ...piece,
    meter: new Meter({ sampleRateHz, bands: false }),
  }));
}
