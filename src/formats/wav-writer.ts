/**
 * Writes WAV files in blocks: 16-bit PCM with dither, or 24-bit, or 32-bit float.
 *
 * Samples are scaled by 32 767 in both directions, so that positive and negative halves match and
 * -1 and 1 both exist; dithered (`signal/dither.ts`) and rounded to the nearest code.
 *
 * @module
 */
import { triangularDither } from '../signal/dither.js';
import type { Sound } from '../signal/sound.js';
import { encodeFloats, encodeIntegers, type SampleFormat, wavHeader } from './wav-coder.js';

export interface WavOptions {
  readonly sampleRateHz: number;
  readonly channels: 1 | 2;
  /** Samples of each channel. */
  readonly length: number;
  /** 16 unless given; 32 is float. */
  readonly bits?: 16 | 24 | 32;
  /** Fixes the dither. */
  readonly seed: string;
}

/** The 32-bit sizes of the header end here. */
const MAX_FILE_BYTES = 2 ** 32 - 1;

/** Bytes of the header beside the RIFF id and size. */
const HEADER_REST_BYTES = 36;

/** Encodes blocks of samples in order; the header is known from the start. */
export class WavEncoder {
  readonly header: Uint8Array;
  private readonly bits: 16 | 24 | 32;
  /** One per channel: the same samples in other blocks give the same bytes. */
  private readonly dithers: readonly (() => number)[];
  private written = 0;

  /** @throws {RangeError} The file would be larger than a WAV file can be. */
  constructor(private readonly options: WavOptions) {
    const { sampleRateHz, channels, length, bits = 16, seed } = options;
    const dataBytes = (length * channels * bits) / 8;
    if (!(dataBytes + HEADER_REST_BYTES < MAX_FILE_BYTES)) {
      throw new RangeError(`a WAV file holds up to 4 GiB, got ${dataBytes} bytes of samples`);
    }
    const format: SampleFormat = { encoding: bits === 32 ? 'float' : 'integer', bits };
    this.bits = bits;
    this.dithers = Array.from({ length: channels }, (_, channel) =>
      triangularDither(`${seed} wav channel ${channel + 1}`),
    );
    this.header = wavHeader(format, { sampleRateHz, channels, dataBytes });
  }

  /**
   * Bytes of the next samples, one array per channel.
   *
   * @throws {RangeError} Another number of channels, unequal lengths, more samples than were
   * announced, a sample that is not finite or is above full scale.
   */
  encode(block: readonly Float64Array[]): Uint8Array {
    const { channels, length } = this.options;
    const count = block[0]?.length ?? 0;
    if (block.length !== channels || block.some(samples => samples.length !== count)) {
      throw new RangeError(`block must hold ${channels} arrays of one length`);
    }
    if (this.written + count > length) {
      throw new RangeError(`there must be ${length} samples, got ${this.written + count}`);
    }
    for (const samples of block) this.requirePlayable(samples);
    this.written += count;
    if (this.bits === 32) return encodeFloats(block);
    const scale = 2 ** (this.bits - 1) - 1;
    const first = quantise(block[0]!, scale, this.dithers[0]!);
    if (channels === 1) return encodeIntegers([first], this.bits);
    // Equal channels stay equal.
    const same = block[1] === block[0];
    const second = same ? first : quantise(block[1]!, scale, this.dithers[1]!);
    return encodeIntegers([first, second], this.bits);
  }

  /** @throws {RangeError} Fewer samples were encoded than announced. */
  finish(): Uint8Array {
    if (this.written !== this.options.length) {
      throw new RangeError(`there must be ${this.options.length} samples, got ${this.written}`);
    }
    // Chunks of odd size are followed by one byte; only mono 24-bit can be odd.
    return new Uint8Array((this.written * this.options.channels * (this.bits / 8)) % 2);
  }

  private requirePlayable(samples: Float64Array): void {
    for (let i = 0; i < samples.length; i++) {
      if (!(Math.abs(samples[i]!) <= 1)) {
        throw new RangeError(
          `samples must be between -1 and 1 of full scale, got ${samples[i]} at sample ${this.written + i}`,
        );
      }
    }
  }
}

/**
 * A sound as the bytes of a WAV file, in pieces. With two channels both are the same.
 *
 * @throws {RangeError} As {@link WavEncoder} does.
 */
export function* wavBytes(
  sound: Sound,
  options: Omit<WavOptions, 'sampleRateHz' | 'length' | 'channels'> & {
    readonly channels?: 1 | 2;
  },
): Iterable<Uint8Array> {
  const { sampleRateHz, length } = sound;
  const { channels = 1 } = options;
  const encoder = new WavEncoder({ ...options, channels, sampleRateHz, length });
  yield encoder.header;
  for (const block of sound.blocks()) {
    yield encoder.encode(channels === 1 ? [block] : [block, block]);
  }
  yield encoder.finish();
}

function quantise(samples: Float64Array, scale: number, dither: () => number): Float64Array {
  const codes = new Float64Array(samples.length);
  for (let i = 0; i < samples.length; i++) {
    // Dither may lift a sample at full scale by one code.
    codes[i] = Math.max(-scale, Math.min(scale, Math.round(samples[i]! * scale + dither())));
  }
  return codes;
}
