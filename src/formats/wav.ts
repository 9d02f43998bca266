/**
 * Reads WAV files: all common sample formats, as a stream or at once.
 *
 * @module
 */
import { type AudioStream, type ByteSource, bytesSource } from './audio-stream.js';
import { decodeSamples } from './wav-coder.js';
import { wavLayout } from './wav-layout.js';

/** A WAV file in memory. */
export interface WavAudio {
  readonly sampleRateHz: number;
  /** One array per channel, 1.0 = digital full scale. */
  readonly channels: readonly Float64Array[];
  readonly warnings: readonly string[];
}

/** Frames decoded at a time. */
const BLOCK_FRAMES = 16_384;

/**
 * Reads a whole file: for short ones.
 *
 * @param where - Name of the file, for messages.
 * @throws {UserError} `BAD_AUDIO`, see `wavLayout`.
 */
export function readWav(bytes: Uint8Array, where = 'the WAV file'): WavAudio {
  const source = bytesSource(bytes);
  const layout = wavLayout(source, where);
  const samples = source.read(layout.dataOffset, layout.frames * layout.frameBytes);
  return {
    sampleRateHz: layout.sampleRateHz,
    channels: decodeSamples(samples, layout.format, layout.channels),
    warnings: layout.warnings,
  };
}

/**
 * Opens a file of any length; samples are read as they are asked for.
 *
 * @throws {UserError} `BAD_AUDIO`, see `wavLayout`.
 */
export function openWav(source: ByteSource, where: string): AudioStream {
  const layout = wavLayout(source, where);
  return {
    format: 'wav',
    sampleRateHz: layout.sampleRateHz,
    channels: layout.channels,
    warnings: layout.warnings,
    ...(layout.format.bits === 8 && { clippedFrom: 127 / 128 }),
    // Asynchronous because other formats are.
    // eslint-disable-next-line @typescript-eslint/require-await
    async *blocks() {
      for (let frame = 0; frame < layout.frames; frame += BLOCK_FRAMES) {
        const count = Math.min(BLOCK_FRAMES, layout.frames - frame);
        const offset = layout.dataOffset + frame * layout.frameBytes;
        const bytes = source.read(offset, count * layout.frameBytes);
        yield decodeSamples(bytes, layout.format, layout.channels);
      }
    },
  };
}
