/**
 * WOFF, a font packed for the web (W3C Recommendation "WOFF File Format 1.0", sections 3 to 5):
 * unpacks it to the OpenType font it was made from, which a PDF can embed without unpacking a table
 * for every letter.
 *
 * @module
 */
import { unzlibSync } from 'fflate';

/** `wOFF`. */
const SIGNATURE = 0x774f4646;

/** Sizes in bytes: WOFF header and directory entry; OpenType header and directory entry. */
const WOFF_HEADER = 44;
const WOFF_ENTRY = 20;
const SFNT_HEADER = 12;
const SFNT_ENTRY = 16;

/**
 * The OpenType font in a WOFF file.
 *
 * @throws {RangeError} The bytes are not WOFF 1.0, or a table in it is cut or of the wrong length.
 */
export function openTypeFromWoff(woff: Uint8Array): Uint8Array {
  const view = new DataView(woff.buffer, woff.byteOffset, woff.byteLength);
  if (woff.length < WOFF_HEADER || view.getUint32(0) !== SIGNATURE) {
    throw new RangeError('not a WOFF 1.0 font: it does not begin with "wOFF"');
  }
  const count = view.getUint16(12);
  const tables = Array.from({ length: count }, (_, index) => readTable(woff, view, index));

  const total = tables.reduce(
    (sum, table) => sum + SFNT_ENTRY + padded(table.data.length),
    SFNT_HEADER,
  );
  const sfnt = new Uint8Array(total);
  const out = new DataView(sfnt.buffer);
  writeHeader(out, view.getUint32(4), count);
  let offset = SFNT_HEADER + count * SFNT_ENTRY;
  for (const [index, table] of tables.entries()) {
    const entry = SFNT_HEADER + index * SFNT_ENTRY;
    out.setUint32(entry, table.tag);
    out.setUint32(entry + 4, table.checksum);
    out.setUint32(entry + 8, offset);
    out.setUint32(entry + 12, table.data.length);
    sfnt.set(table.data, offset);
    offset += padded(table.data.length);
  }
  return sfnt;
}

interface Table {
  readonly tag: number;
  readonly checksum: number;
  readonly data: Uint8Array;
}

/** One table, unpacked: it is packed where that made it smaller (section 5). */
function readTable(woff: Uint8Array, view: DataView, index: number): Table {
  const entry = WOFF_HEADER + index * WOFF_ENTRY;
  if (entry + WOFF_ENTRY > woff.length) throw new RangeError('a WOFF font is cut short');
  const offset = view.getUint32(entry + 4);
  const packedLength = view.getUint32(entry + 8);
  const length = view.getUint32(entry + 12);
  const packed = woff.subarray(offset, offset + packedLength);
  const data = packedLength < length ? unzlibSync(packed) : packed;
  if (data.length !== length) {
    throw new RangeError(`a table of a WOFF font has ${data.length} bytes, not ${length}`);
  }
  return {
    tag: view.getUint32(entry),
    checksum: view.getUint32(entry + 16),
    data,
  };
}

/** OpenType 1.9, "Table Directory". */
function writeHeader(out: DataView, flavour: number, count: number): void {
  const largestPower = Math.floor(Math.log2(count));
  out.setUint32(0, flavour);
  out.setUint16(4, count);
  out.setUint16(6, 16 * 2 ** largestPower);
  out.setUint16(8, largestPower);
  out.setUint16(10, 16 * count - 16 * 2 ** largestPower);
}

/** Tables begin at multiples of four bytes. */
const padded = (length: number): number => Math.ceil(length / 4) * 4;
