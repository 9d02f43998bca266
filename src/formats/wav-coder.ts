/**
 * Samples <-> bytes of a WAV file's data chunk, by `node-wav`, which is only ever handed what it
 * gets right.
 *
 * `node-wav` 0.0.2 decodes nothing from a Buffer inside a larger one, from files with padded, late
 * or missing chunks; hangs on a header with no channels; trusts any size; misreads the lowest 24-bit
 * code; scales positive and negative samples differently; truncates instead of rounding. So each
 * block of samples gets a 44-byte header of our own, in an `ArrayBuffer` of its own, with checked
 * sizes; integers are rounded here, before (`wav-writer.ts`) and after, and the two scales are made
 * one. `tests/formats/wav-coder.test.ts` shows each of these.
 *
 * @module
 */
import nodeWav from 'node-wav';

/** How a sample is stored. */
export interface SampleFormat {
  readonly encoding: 'integer' | 'float';
  readonly bits: 8 | 16 | 24 | 32 | 64;
}

/** Combinations that exist: integers of 64 bits and floats of 8 to 24 do not. */
export function isSampleFormat(encoding: string, bits: number): boolean {
  return encoding === 'float' ? bits === 32 || bits === 64 : [8, 16, 24, 32].includes(bits);
}

/** Bytes of the plain header, before the samples. */
export const WAV_HEADER_BYTES = 44;

/** Tags of the two plain formats (Multimedia Programming Interface 1.0, 1991; RFC 2361). */
const TAG = { integer: 1, float: 3 } as const;

/** The plain 44-byte header of a file with `dataBytes` bytes of samples. */
export function wavHeader(
  format: SampleFormat,
  layout: {
    readonly channels: number;
    readonly sampleRateHz: number;
    readonly dataBytes: number;
  },
): Uint8Array<ArrayBuffer> {
  const { channels, sampleRateHz, dataBytes } = layout;
  const frameBytes = (channels * format.bits) / 8;
  const bytes = new Uint8Array(WAV_HEADER_BYTES);
  const view = new DataView(bytes.buffer);
  const ascii = (offset: number, text: string): void => {
    for (let i = 0; i < text.length; i++) view.setUint8(offset + i, text.charCodeAt(i));
  };
  ascii(0, 'RIFF');
  view.setUint32(4, WAV_HEADER_BYTES - 8 + dataBytes + (dataBytes % 2), true);
  ascii(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, TAG[format.encoding], true);
  view.setUint16(22, channels, true);
  view.setUint32(24, sampleRateHz, true);
  view.setUint32(28, sampleRateHz * frameBytes, true);
  view.setUint16(32, frameBytes, true);
  view.setUint16(34, format.bits, true);
  ascii(36, 'data');
  view.setUint32(40, dataBytes, true);
  return bytes;
}

/**
 * Samples of whole frames. Integers are divided by 2^(bits - 1): -1 is the lowest code, and the
 * highest is one step below 1. Floats of 64 bits come with the precision of 32.
 *
 * @param bytes - Whole frames, all channels interleaved.
 * @param channels - At least 1.
 * @throws {RangeError} The bytes are not whole frames, or there is no channel.
 */
export function decodeSamples(
  bytes: Uint8Array,
  format: SampleFormat,
  channels: number,
): Float64Array[] {
  const frameBytes = (channels * format.bits) / 8;
  if (!(channels >= 1) || bytes.length % frameBytes !== 0) {
    throw new RangeError(`bytes must be whole frames of ${frameBytes}, got ${bytes.length}`);
  }
  const frames = bytes.length / frameBytes;
  if (frames === 0) return Array.from({ length: channels }, () => new Float64Array(0));
  const decoded = nodeWav.decode(decodableFile(bytes, format, channels));
  if (decoded?.channelData.length !== channels || decoded.channelData[0]!.length !== frames) {
    throw new RangeError(`decoder must return ${channels} x ${frames} samples`);
  }
  return decoded.channelData.map(samples => oneScale(samples, format));
}

/** A file whose samples begin at a multiple of 8 bytes, which the decoder needs for 64-bit floats. */
function decodableFile(bytes: Uint8Array, format: SampleFormat, channels: number): ArrayBuffer {
  // The rate plays no part in decoding samples.
  const header = wavHeader(format, { channels, sampleRateHz: 44_100, dataBytes: bytes.length });
  const file = new Uint8Array(WAV_HEADER_BYTES + 4 + bytes.length);
  file.set(header.subarray(0, 36));
  // Four bytes more in the fmt chunk.
  new DataView(file.buffer).setUint32(16, 20, true);
  file.set(header.subarray(36), 40);
  file.set(bytes, WAV_HEADER_BYTES + 4);
  return file.buffer;
}

/** Undoes the decoder's two scales: negative codes / 2^(bits-1), positive ones / (2^(bits-1) - 1). */
function oneScale(samples: Float32Array, { encoding, bits }: SampleFormat): Float64Array {
  const values = new Float64Array(samples);
  if (encoding === 'float') return values;
  const negative = 2 ** (bits - 1);
  const positive = negative - 1;
  // 32-bit integers do not fit the decoder's 24-bit mantissa: their last bits are gone already.
  const round = bits < 32;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    // One of the two sums is 0. A branch on the sign, which no processor can foresee, takes four times as long.
    const size = Math.abs(value);
    const scaled = (positive * (value + size) + negative * (value - size)) / 2;
    const code = round ? Math.floor(scaled + 0.5) : scaled;
    // As high as this is only the lowest 24-bit code, misread as the highest plus one.
    values[i] = code === negative ? -1 : code / negative;
  }
  return values;
}

/**
 * Bytes of integer codes, one array per channel.
 *
 * @param codes - Whole numbers from -(2^(bits-1) - 1) to 2^(bits-1) - 1; all arrays of one length.
 */
export function encodeIntegers(codes: readonly Float64Array[], bits: 16 | 24): Uint8Array {
  const negative = 2 ** (bits - 1);
  const positive = negative - 1;
  // The encoder scales and truncates: 16 bits towards 0, negative 24 bits downwards. Half a step
  // beyond (or above) the code is cut back to the code.
  const halfStep = bits === 16 ? -0.5 : 0.5;
  const channels = codes.map(channel =>
    channel.map(code => {
      if (code > 0) return (code + 0.5) / positive;
      return code < 0 ? (code + halfStep) / negative : 0;
    }),
  );
  return encode(channels, { bits, float: false });
}

/** Bytes of 32-bit floats, one array per channel; values from -1 to 1 (the encoder clips others). */
export function encodeFloats(samples: readonly Float64Array[]): Uint8Array {
  return encode(samples, { bits: 32, float: true });
}

function encode(
  channels: readonly Float64Array[],
  format: { readonly bits: 16 | 24 | 32; readonly float: boolean },
): Uint8Array {
  const length = channels[0]?.length ?? 0;
  if (channels.length === 0 || channels.some(channel => channel.length !== length)) {
    throw new RangeError('channels must be arrays of one length');
  }
  const file = nodeWav.encode(channels, {
    sampleRate: 44_100,
    bitDepth: format.bits,
    float: format.float,
  });
  return file.subarray(WAV_HEADER_BYTES);
}
