/**
 * Mono sound -> MP3, in blocks. Constant bit rate, with an information frame that makes players show
 * the right length; the same samples give the same bytes.
 *
 * @module
 */
import { createMp3Encoder } from 'wasm-media-encoders';
import { requireWhole } from '../signal/require.js';
import type { Sound } from '../signal/sound.js';
import { joinBytes } from './join-bytes.js';
import { mp3InfoFrame } from './mp3-info-frame.js';

export interface Mp3Settings {
  readonly sampleRateHz: number;
  readonly bitrateKbps: 32 | 40 | 48 | 64 | 80 | 96 | 112 | 128;
}

/**
 * The encoder scales its input by this before it encodes, to leave headroom that a kit does not need:
 * true peaks stay 3 dB below full scale. Taken back here, so that levels in are levels out.
 */
const ENCODER_GAIN = 0.95;

/** An encoder that takes one sound after another. Making one compiles it: keep it. */
export class Mp3Encoder {
  private readonly encoder: Awaited<ReturnType<typeof createMp3Encoder>>;
  private chunks: Uint8Array[] = [];
  private sampleCount = 0;
  private scaled = new Float32Array(0);

  private constructor(encoder: Awaited<ReturnType<typeof createMp3Encoder>>) {
    this.encoder = encoder;
  }

  static async create(): Promise<Mp3Encoder> {
    return new Mp3Encoder(await createMp3Encoder());
  }

  /** Begins a new stream; what was pushed before is dropped. @throws {RangeError} Sample rate out of range. */
  start({ sampleRateHz, bitrateKbps }: Mp3Settings): void {
    requireWhole(sampleRateHz, 'sampleRateHz', 16_000, 48_000);
    this.encoder.configure({
      sampleRate: sampleRateHz,
      outputSampleRate: sampleRateHz as 44_100,
      channels: 1,
      bitrate: bitrateKbps,
    });
    this.chunks = [];
    this.sampleCount = 0;
  }

  /** Takes the next samples. @throws {RangeError} A sample beyond full scale, or not a number. */
  push(block: Float64Array | Float32Array): void {
    if (this.scaled.length < block.length) this.scaled = new Float32Array(block.length);
    const scaled = this.scaled.subarray(0, block.length);
    for (let i = 0; i < block.length; i++) {
      const sample = block[i]!;
      // Not `>`: NaN must be refused too.
      if (!(Math.abs(sample) <= 1)) {
        const at = this.sampleCount + i;
        throw new RangeError(`samples must be between -1 and 1, got ${sample} at sample ${at}`);
      }
      scaled[i] = sample / ENCODER_GAIN;
    }
    this.keep(this.encoder.encode([scaled]));
    this.sampleCount += block.length;
  }

  /** The whole stream: information frame and audio, without tags. @throws {RangeError} Nothing was pushed. */
  finish(): Uint8Array {
    this.keep(this.encoder.finalize());
    const stream = joinBytes(this.chunks);
    this.chunks = [];
    if (this.sampleCount === 0) throw new RangeError('an MP3 needs at least one sample, got 0');
    return joinBytes([mp3InfoFrame(stream, this.sampleCount), stream]);
  }

  /** The encoder reuses its memory: copy. */
  private keep(bytes: Uint8Array): void {
    if (bytes.length > 0) this.chunks.push(bytes.slice());
  }
}

/** A whole sound as MP3, without tags. @throws {RangeError} As {@link Mp3Encoder}. */
export function encodeMp3(
  encoder: Mp3Encoder,
  sound: Sound,
  bitrateKbps: Mp3Settings['bitrateKbps'],
): Uint8Array {
  encoder.start({ sampleRateHz: sound.sampleRateHz, bitrateKbps });
  for (const block of sound.blocks()) encoder.push(block);
  return encoder.finish();
}
