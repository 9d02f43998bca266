/**
 * Audio as a stream: mono samples in blocks, so that memory stays flat however long a scan is.
 *
 * @module
 */

/** The rate at which softknock makes sound: that of a CD, and one every phone plays. */
export const SAMPLE_RATE_HZ = 44_100;

/** A sound that can be read from its start any number of times, always with the same samples. */
export interface Sound {
  readonly sampleRateHz: number;
  /** Number of samples. */
  readonly length: number;
  /** The samples in order, in blocks of any size. A block must not be changed: it may be shared. */
  blocks(): Iterable<Float64Array>;
}

/** A sound held in memory. */
export function soundOf(samples: Float64Array, sampleRateHz: number = SAMPLE_RATE_HZ): Sound {
  return { sampleRateHz, length: samples.length, blocks: () => [samples] };
}

/** All samples of a sound in one array: for short sounds only. */
export function collect(sound: Sound): Float64Array {
  const all = new Float64Array(sound.length);
  let offset = 0;
  for (const block of sound.blocks()) {
    all.set(block, offset);
    offset += block.length;
  }
  return all;
}

/** Samples of a piece: what is worked on stays in the processor's fast memory. */
const PIECE_SAMPLES = 8192;

/** The same samples in blocks of at most {@link PIECE_SAMPLES}: for work that needs room of a block's size. */
export function* inPieces(blocks: Iterable<Float64Array>): Generator<Float64Array> {
  for (const block of blocks) {
    if (block.length <= PIECE_SAMPLES) yield block;
    else {
      for (let from = 0; from < block.length; from += PIECE_SAMPLES) {
        yield block.subarray(from, from + PIECE_SAMPLES);
      }
    }
  }
}
