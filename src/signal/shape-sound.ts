/**
 * A sound made louder or softer, faded at its ends, cut or repeated to a length.
 *
 * @module
 */
import { requireInRange, requireWhole } from './require.js';
import { inPieces, type Sound } from './sound.js';

export interface Shape {
  /** Amplitude ratio. */
  readonly gain: number;
  /** Length in s of the raised-cosine fade at the start; 0 for none. */
  readonly fadeInSeconds: number;
  /** The same at the end. The two fades may meet, not overlap. */
  readonly fadeOutSeconds: number;
}

/**
 * The sound times its shape.
 *
 * @throws {RangeError} A gain that is not finite, or fades longer than the sound.
 */
export function shapeSound(sound: Sound, { gain, fadeInSeconds, fadeOutSeconds }: Shape): Sound {
  const { sampleRateHz, length } = sound;
  requireInRange(gain, 'gain', 0, 1e12, '(ratio)');
  const fadeIn = Math.round(fadeInSeconds * sampleRateHz);
  const fadeOut = Math.round(fadeOutSeconds * sampleRateHz);
  requireInRange(fadeIn + fadeOut, 'fades together', 0, length, 'samples');
  return {
    sampleRateHz,
    length,
    *blocks() {
      let offset = 0;
      for (const block of inPieces(sound.blocks())) {
        const shaped = new Float64Array(block.length);
        for (let i = 0; i < block.length; i++) shaped[i] = gain * block[i]!;
        for (let i = 0; i < block.length && offset + i < fadeIn; i++) {
          shaped[i]! *= raisedCosine((offset + i + 0.5) / fadeIn);
        }
        for (let i = Math.max(length - fadeOut - offset, 0); i < block.length; i++) {
          shaped[i]! *= raisedCosine((length - offset - i - 0.5) / fadeOut);
        }
        yield shaped;
        offset += block.length;
      }
    },
  };
}

/**
 * The first samples of a sound; one that is shorter starts again at its end.
 *
 * @throws {RangeError} `length` is not a whole number of at least 0, or the sound is empty.
 */
export function fitSound(sound: Sound, length: number): Sound {
  requireWhole(length, 'length', 0, Number.MAX_SAFE_INTEGER);
  if (length === sound.length) return sound;
  if (sound.length === 0) throw new RangeError('a sound without samples cannot be repeated');
  return {
    sampleRateHz: sound.sampleRateHz,
    length,
    *blocks() {
      let left = length;
      while (left > 0) {
        for (const block of sound.blocks()) {
          const part = block.length <= left ? block : block.subarray(0, left);
          yield part;
          left -= part.length;
          // Here, not before the next block: making it may be work.
          if (left === 0) return;
        }
      }
    },
  };
}

/**
 * A sound without its first samples.
 *
 * @throws {RangeError} `count` is not a whole number from 0 to its length.
 */
export function withoutStart(sound: Sound, count: number): Sound {
  requireWhole(count, 'count', 0, sound.length);
  if (count === 0) return sound;
  return {
    sampleRateHz: sound.sampleRateHz,
    length: sound.length - count,
    *blocks() {
      let left = count;
      for (const block of sound.blocks()) {
        if (left < block.length) yield left === 0 ? block : block.subarray(left);
        left = Math.max(0, left - block.length);
      }
    },
  };
}

/** From 0 to 1 over a position of 0 to 1. */
const raisedCosine = (position: number): number => 0.5 - 0.5 * Math.cos(Math.PI * position);
