/**
 * Audio of any format as a stream of blocks, so that an hour takes no more memory than a second.
 *
 * @module
 */

/** Bytes that can be read from any place: a file that stays on the disk, or an array. */
export interface ByteSource {
  /** In bytes. */
  readonly size: number;
  /** Up to `length` bytes from `offset`; fewer at the end. The array is the caller's to keep. */
  read(offset: number, length: number): Uint8Array;
}

/** One that holds a file open. */
export interface OpenSource extends ByteSource {
  /** Must be called when nothing more is to be read. */
  close(): void;
}

/** Decoded audio, 1.0 = digital full scale. */
export interface AudioStream {
  readonly format: 'wav' | 'mp3' | 'flac';
  readonly sampleRateHz: number;
  readonly channels: number;
  /** What is unusual about the file and did not stop the reading, as sentences. */
  readonly warnings: readonly string[];
  /** The highest code of few bits, which a clipped recording holds; where it is not given, that of 16 bits. */
  readonly clippedFrom?: number;
  /** The samples in order, one array per channel in each block; can be started any number of times. */
  blocks(): AsyncIterable<readonly Float64Array[]>;
}

/** Sample rates that are read, in Hz: what the meter takes. */
export const AUDIO_RATES_HZ = { min: 8_000, max: 192_000 } as const;

/** Most channels that are read. */
export const MAX_AUDIO_CHANNELS = 64;

/** A source of bytes held in memory. */
export const bytesSource = (bytes: Uint8Array): ByteSource => ({
  size: bytes.length,
  read: (offset, length) => bytes.slice(offset, offset + length),
});

/** Bytes that are read at a time from what is read through. */
const PIECE_BYTES = 2 ** 20;

/** All bytes in order, piece by piece. */
export function* piecesOf(source: ByteSource): Generator<Uint8Array> {
  for (let at = 0; at < source.size; at += PIECE_BYTES) yield source.read(at, PIECE_BYTES);
}

/** The samples of all blocks, one array per channel: for short audio only. */
export async function collectAudio(audio: AudioStream): Promise<Float64Array[]> {
  const blocks: (readonly Float64Array[])[] = [];
  for await (const block of audio.blocks()) blocks.push(block);
  const length = blocks.reduce((sum, block) => sum + block[0]!.length, 0);
  return Array.from({ length: audio.channels }, (_, channel) => {
    const samples = new Float64Array(length);
    let offset = 0;
    for (const block of blocks) {
      samples.set(block[channel]!, offset);
      offset += block[channel]!.length;
    }
    return samples;
  });
}
