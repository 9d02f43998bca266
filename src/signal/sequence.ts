/**
 * Sounds one after another at set times, with silence between them.
 *
 * @module
 */
import { requireWhole } from './require.js';
import type { Sound } from './sound.js';

/** A sound and when it starts. */
export interface PlacedSound {
  /** Sample at which it starts. */
  readonly start: number;
  readonly sound: Sound;
}

/** Silence is handed out in blocks of at most this many samples. */
const SILENCE_BLOCK = 16_384;

/**
 * One sound of `length` samples with others placed in it.
 *
 * @param placed - In order of their start, none overlapping the next, all within `length`.
 * @throws {RangeError} They are not, or have another sample rate.
 */
export function sequence(
  sampleRateHz: number,
  length: number,
  placed: readonly PlacedSound[],
): Sound {
  requireWhole(length, 'length', 0, Number.MAX_SAFE_INTEGER);
  let end = 0;
  for (const { start, sound } of placed) {
    requireWhole(start, 'start', end, length);
    if (sound.sampleRateHz !== sampleRateHz) {
      throw new RangeError(`sounds must have ${sampleRateHz} Hz, got ${sound.sampleRateHz}`);
    }
    end = requireWhole(start + sound.length, 'end', start, length);
  }
  return {
    sampleRateHz,
    length,
    *blocks() {
      let now = 0;
      for (const { start, sound } of placed) {
        yield* silence(start - now);
        yield* sound.blocks();
        now = start + sound.length;
      }
      yield* silence(length - now);
    },
  };
}

function* silence(length: number): Generator<Float64Array> {
  for (let left = length; left > 0; left -= SILENCE_BLOCK) {
    yield new Float64Array(Math.min(left, SILENCE_BLOCK));
  }
}
