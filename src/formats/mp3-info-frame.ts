/**
 * The information frame in front of an MP3 stream: a frame that is silent to old players and tells
 * others the exact length, so that they show it rightly, find their place in it, and cut what the
 * encoder added at both ends.
 *
 * Layout: the "Xing" header (here "Info", as for constant bit rates) with the extension that the
 * LAME encoder writes; a de-facto standard, described in the "Mp3 Info Tag rev 1" specification.
 * Offsets below are from memory of that specification; the tests check them with two decoders.
 *
 * @module
 */
import { countMp3Frames, readMp3Header } from './mp3-frames.js';

/** Samples that the encoder puts before the first one it was given. */
export const ENCODER_DELAY_SAMPLES = 576;

/** Which parts follow: number of frames, number of bytes, table of contents, quality. */
const ALL_PARTS = 0x0f;

/** From the start of "Info" to the start of the encoder's extension. */
const EXTENSION_OFFSET = 120;

/** Length of the extension; its last two bytes check the frame up to them. */
const EXTENSION_BYTES = 36;

/**
 * The frame for a stream of constant bit rate.
 *
 * @param stream - The frames, as the encoder gave them.
 * @param sampleCount - Samples that were encoded, at the stream's sample rate.
 * @throws {RangeError} `stream` is empty or not made of frames, or is too short for the samples.
 */
export function mp3InfoFrame(stream: Uint8Array, sampleCount: number): Uint8Array {
  const header = readMp3Header(stream, 0);
  if (header === undefined) throw new RangeError('no MP3 frame starts at byte 0');
  const frames = countMp3Frames(stream);
  const paddingSamples = frames * header.samples - ENCODER_DELAY_SAMPLES - sampleCount;
  if (paddingSamples < 0 || paddingSamples > 0xfff) {
    throw new RangeError(
      `${frames} frames must hold ${sampleCount} samples and a delay of ${ENCODER_DELAY_SAMPLES}`,
    );
  }
  const info = 4 + header.sideInfoBytes;
  const frame = emptyFrame(stream, info + EXTENSION_OFFSET + EXTENSION_BYTES);
  const bytes = frame.length;
  const view = new DataView(frame.buffer);
  writeText(frame, info, 'Info');
  view.setUint32(info + 4, ALL_PARTS);
  view.setUint32(info + 8, frames);
  view.setUint32(info + 12, bytes + stream.length);
  // Table of contents: where each hundredth of the time lies, in 256ths of the bytes.
  for (let i = 0; i < 100; i++) frame[info + 16 + i] = Math.floor((i * 256) / 100);

  const extension = info + EXTENSION_OFFSET;
  writeText(frame, extension, 'LAME3.100');
  frame[extension + 9] = 0x01; // constant bit rate
  frame[extension + 20] = Math.min(header.bitrateKbps, 255);
  frame[extension + 21] = ENCODER_DELAY_SAMPLES >> 4;
  frame[extension + 22] = ((ENCODER_DELAY_SAMPLES & 0x0f) << 4) | (paddingSamples >> 8);
  frame[extension + 23] = paddingSamples & 0xff;
  view.setUint32(extension + 28, bytes + stream.length);
  view.setUint16(extension + 32, crc16(stream));
  const check = extension + EXTENSION_BYTES - 2;
  view.setUint16(check, crc16(frame.subarray(0, check)));
  return frame;
}

/**
 * A frame with the first frame's header, without padding. Frames of low bit rates are too small: then
 * it is one of the next rate that has room, as encoders do.
 */
function emptyFrame(stream: Uint8Array, roomBytes: number): Uint8Array {
  const head = stream.slice(0, 4);
  head[2]! &= ~2;
  let { bytes } = readMp3Header(head, 0)!;
  while (bytes < roomBytes) {
    head[2]! += 0x10;
    ({ bytes } = readMp3Header(head, 0)!);
  }
  const frame = new Uint8Array(bytes);
  frame.set(head);
  return frame;
}

function writeText(bytes: Uint8Array, offset: number, text: string): void {
  bytes.set(new TextEncoder().encode(text), offset);
}

/** CRC-16 with the polynomial x^16 + x^15 + x^2 + 1, bits reflected, from 0 (also known as ARC). */
export function crc16(bytes: Uint8Array): number {
  let crc = 0;
  for (const byte of bytes) crc = (crc >> 8) ^ CRC_OF_BYTE[(crc ^ byte) & 0xff]!;
  return crc;
}

/** Checksums of single bytes. */
const CRC_OF_BYTE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte;
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
  return crc;
});
