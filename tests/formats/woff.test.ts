import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { openTypeFromWoff } from '../../src/formats/woff.js';
import { FONT_FILES } from '../../src/kit/paper/document-fonts.js';

const MODULES = path.resolve(import.meta.dirname, '../../node_modules');

const files = FONT_FILES.flatMap(({ regular, bold }) => [regular, bold]);

describe.each(files)('%s', file => {
  const woff = readFileSync(path.join(MODULES, file));
  const font = openTypeFromWoff(woff);
  const view = new DataView(font.buffer);

  test('unpacks to the size that its header promises, with a TrueType or CFF signature', () => {
    expect(font.length).toBe(woff.readUInt32BE(16));
    expect([0x00010000, 0x4f54544f]).toContain(view.getUint32(0));
  });

  test('every table has the checksum that its makers wrote (OpenType 1.9, table directory)', () => {
    const count = view.getUint16(4);
    expect(count).toBeGreaterThan(8);
    for (let index = 0; index < count; index++) {
      const entry = 12 + 16 * index;
      const tag = String.fromCharCode(...font.subarray(entry, entry + 4));
      const offset = view.getUint32(entry + 8);
      const sum = wordSum(offset, view.getUint32(entry + 12));
      // The one word that makes the whole come out is not part of its own table's sum.
      const adjustment = tag === 'head' ? view.getUint32(offset + 8) : 0;
      expect((sum - adjustment) >>> 0, tag).toBe(view.getUint32(entry + 4));
    }
  });

  function wordSum(offset: number, length: number): number {
    let sum = 0;
    for (let at = 0; at < length; at += 4) sum = (sum + view.getUint32(offset + at)) >>> 0;
    return sum;
  }
});

test.each([
  ['nothing', new Uint8Array(0)],
  ['another file', new TextEncoder().encode('wOF2'.padEnd(60))],
  ['only a header', readFileSync(path.join(MODULES, files[0]!)).subarray(0, 60)],
])('refuses %s', (_, bytes) => {
  expect(() => openTypeFromWoff(bytes)).toThrow(RangeError);
});
