/** PNG against the file format's own checks and an independent inflater and checksum (node:zlib). */
import { crc32 as nodeCrc32, inflateSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { encodePng } from '../../src/formats/png.js';

const crc32 = nodeCrc32 as ((data: Uint8Array) => number) | undefined;

interface Chunk {
  readonly type: string;
  readonly data: Uint8Array;
  readonly crc: number;
  readonly checked: Uint8Array;
}

function chunksOf(png: Uint8Array): readonly Chunk[] {
  const view = new DataView(png.buffer, png.byteOffset, png.length);
  const chunks: Chunk[] = [];
  for (let at = 8; at < png.length;) {
    const length = view.getUint32(at);
    chunks.push({
      type: new TextDecoder().decode(png.subarray(at + 4, at + 8)),
      data: png.subarray(at + 8, at + 8 + length),
      crc: view.getUint32(at + 8 + length),
      checked: png.subarray(at + 4, at + 8 + length),
    });
    at += 12 + length;
  }
  return chunks;
}

describe('encodePng', () => {
  const indices = Uint8Array.of(0, 1, 2, 2, 1, 0);
  const png = encodePng(3, 2, indices, [
    [1, 2, 3],
    [40, 50, 60],
    [255, 254, 253],
  ]);

  test('starts as every PNG does and holds header, palette, picture and end', () => {
    expect([...png.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
    const chunks = chunksOf(png);
    expect(chunks.map(({ type }) => type)).toEqual(['IHDR', 'PLTE', 'IDAT', 'IEND']);
    expect([...chunks[0]!.data]).toEqual([0, 0, 0, 3, 0, 0, 0, 2, 8, 3, 0, 0, 0]);
    expect([...chunks[1]!.data]).toEqual([1, 2, 3, 40, 50, 60, 255, 254, 253]);
    expect([...inflateSync(chunks[2]!.data)]).toEqual([0, 0, 1, 2, 0, 2, 1, 0]);
  });

  // node:zlib has crc32 from 20.15 on.
  test.skipIf(crc32 === undefined)(
    `every checksum is right${crc32 === undefined ? ' (skipped: this Node has no zlib.crc32)' : ''}`,
    () => {
      for (const { crc, checked } of chunksOf(png)) expect(crc32!(checked)).toBe(crc);
    },
  );

  test('refuses pixels and palettes that do not fit', () => {
    expect(() => encodePng(3, 3, indices, [[0, 0, 0]])).toThrow(RangeError);
    expect(() => encodePng(3, 2, indices, [])).toThrow(RangeError);
  });
});
