/**
 * PNG pictures from palette indices (PNG specification, third edition: colour type 3, bit depth 8).
 *
 * @module
 */
import { zlibSync } from 'fflate';
import { joinBytes } from './join-bytes.js';

export type Rgb = readonly [red: number, green: number, blue: number];

/** Bytes that every PNG starts with. */
const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);

/**
 * Encodes a picture.
 *
 * @param indices - Palette index per pixel, row by row from the top, shape `[width x height]`.
 * @param palette - Up to 256 colours.
 * @throws {RangeError} The number of pixels or colours does not fit.
 */
export function encodePng(
  width: number,
  height: number,
  indices: Uint8Array,
  palette: readonly Rgb[],
): Uint8Array {
  if (indices.length !== width * height) {
    throw new RangeError(`${indices.length} pixels for ${width} x ${height}`);
  }
  if (palette.length < 1 || palette.length > 256) {
    throw new RangeError(`a palette has 1 to 256 colours, got ${palette.length}`);
  }
  const header = new Uint8Array(13);
  const view = new DataView(header.buffer);
  view.setUint32(0, width);
  view.setUint32(4, height);
  header[8] = 8;
  header[9] = 3;
  // Every row starts with its filter: 0, none.
  const rows = new Uint8Array((width + 1) * height);
  for (let y = 0; y < height; y++) {
    rows.set(indices.subarray(y * width, (y + 1) * width), y * (width + 1) + 1);
  }
  return joinBytes([
    SIGNATURE,
    chunk('IHDR', header),
    chunk('PLTE', Uint8Array.from(palette.flat())),
    chunk('IDAT', zlibSync(rows, { level: 9 })),
    chunk('IEND', new Uint8Array(0)),
  ]);
}

/** A chunk: length, type, data, checksum. */
function chunk(type: string, data: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(12 + data.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, data.length);
  bytes.set(new TextEncoder().encode(type), 4);
  bytes.set(data, 8);
  view.setUint32(8 + data.length, crc32(bytes.subarray(4, 8 + data.length)));
  return bytes;
}

/** CRC-32 as PNG's annex D has it. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return ~crc >>> 0;
}
