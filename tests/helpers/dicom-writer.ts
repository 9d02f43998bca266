/** Writes DICOM files for tests, well-formed or not (PS3.5, sections 7.1 to 7.5; PS3.10, section 7.1). */
import { deflateRawSync } from 'node:zlib';

export type Syntax = 'explicit' | 'implicit' | 'big-endian' | 'deflated';

/** Elements of an item, or of a data set. */
export type Elements = readonly Element[];

export interface Element {
  /** `0018,0080`. */
  readonly tag: string;
  readonly vr: string;
  /** Texts are written as they are, numbers as the representation says, items as a sequence. */
  readonly value: string | readonly number[] | Uint8Array | readonly Elements[];
  /** Whether a sequence and its items end at delimiters. */
  readonly isOpen?: boolean;
  /** What is written in place of the true length. */
  readonly length?: number;
}

export const element = (
  tag: string,
  vr: string,
  value: Element['value'],
  more: Partial<Element> = {},
): Element => ({ tag, vr, value, ...more });

export const UIDS: Readonly<Record<Syntax, string>> = {
  explicit: '1.2.840.10008.1.2.1',
  implicit: '1.2.840.10008.1.2',
  'big-endian': '1.2.840.10008.1.2.2',
  deflated: '1.2.840.10008.1.2.1.99',
};

const LONG = new Set([
  'OB',
  'OD',
  'OF',
  'OL',
  'OV',
  'OW',
  'SQ',
  'SV',
  'UC',
  'UN',
  'UR',
  'UT',
  'UV',
]);

const UNDEFINED_LENGTH = 0xffffffff;

/** A file with preamble and meta information. */
export function writeDicom(elements: Elements, syntax: Syntax, uid = UIDS[syntax]): Uint8Array {
  const meta = encode([element('0002,0010', 'UI', pad(uid, '\0'))], 'explicit');
  const body = writeElements(elements, syntax);
  return Buffer.concat([Buffer.alloc(128), Buffer.from('DICM'), meta, body]);
}

/** Elements alone. */
export function writeElements(elements: Elements, syntax: Syntax): Uint8Array {
  const body = encode(elements, syntax);
  return syntax === 'deflated' ? deflateRawSync(body) : body;
}

function encode(elements: Elements, syntax: Syntax): Buffer {
  return Buffer.concat(elements.map(one => encodeElement(one, syntax)));
}

function encodeElement(one: Element, syntax: Syntax): Buffer {
  const isBig = syntax === 'big-endian';
  const { tag, vr, value, isOpen = false } = one;
  const bytes = encodeValue(one, syntax);
  const isSequence = Array.isArray(value) && typeof value[0] !== 'number';
  const length = one.length ?? (isSequence && isOpen ? UNDEFINED_LENGTH : bytes.length);
  const [group, number] = tag.split(',').map(part => parseInt(part, 16)) as [number, number];
  const head = [uint(group, 2, isBig), uint(number, 2, isBig)];
  if (syntax === 'implicit') head.push(uint(length, 4, isBig));
  else if (LONG.has(vr)) head.push(Buffer.from(vr), Buffer.alloc(2), uint(length, 4, isBig));
  else head.push(Buffer.from(vr), uint(length & 0xffff, 2, isBig));
  const end = isSequence && isOpen ? [delimiter(0xe0dd, isBig)] : [];
  return Buffer.concat([...head, bytes, ...end]);
}

function encodeValue({ vr, value, isOpen = false }: Element, syntax: Syntax): Buffer {
  const isBig = syntax === 'big-endian';
  if (typeof value === 'string') return Buffer.from(pad(value, vr === 'UI' ? '\0' : ' '), 'latin1');
  if (value instanceof Uint8Array) return Buffer.from(value);
  return Buffer.concat(
    value.map((part: number | Elements) => {
      if (typeof part === 'number') return number(part, vr, isBig);
      const item = encode(part, syntax);
      const length = isOpen ? UNDEFINED_LENGTH : item.length;
      const head = [uint(0xfffe, 2, isBig), uint(0xe000, 2, isBig), uint(length, 4, isBig)];
      return Buffer.concat([...head, item, ...(isOpen ? [delimiter(0xe00d, isBig)] : [])]);
    }),
  );
}

function number(value: number, vr: string, isBig: boolean): Buffer {
  if (vr === 'US' || vr === 'SS') return uint(value & 0xffff, 2, isBig);
  if (vr === 'UL' || vr === 'SL') return uint(value, 4, isBig);
  const bytes = vr === 'FL' ? 4 : 8;
  const view = new DataView(new ArrayBuffer(bytes));
  if (vr === 'FL') view.setFloat32(0, value, !isBig);
  else view.setFloat64(0, value, !isBig);
  return Buffer.from(view.buffer);
}

function uint(value: number, bytes: number, isBig: boolean): Buffer {
  const buffer = Buffer.alloc(bytes);
  const unsigned = value >>> 0;
  if (isBig) buffer.writeUIntBE(unsigned, 0, bytes);
  else buffer.writeUIntLE(unsigned, 0, bytes);
  return buffer;
}

const delimiter = (number: number, isBig: boolean): Buffer =>
  Buffer.concat([uint(0xfffe, 2, isBig), uint(number, 2, isBig), Buffer.alloc(4)]);

const pad = (text: string, padding: string): string =>
  text.length % 2 === 0 ? text : text + padding;

/** An echo-planar slice of nobody, from no scanner. */
export function echoPlanarSlice(
  more: Readonly<Record<string, Element['value']>> = {},
  series = '1',
  instance = '1',
): Elements {
  const values: Record<string, readonly [string, Element['value']]> = {
    '0008,0008': ['CS', 'ORIGINAL\\PRIMARY\\M'],
    '0008,0016': ['UI', '1.2.840.10008.5.1.4.1.1.4'],
    '0008,0018': ['UI', `2.25.9.${series}.${instance}`],
    '0008,0032': ['TM', '101112'],
    '0008,0060': ['CS', 'MR'],
    '0008,0070': ['LO', 'Invented Imaging'],
    '0008,103e': ['LO', `series ${series}x`],
    '0010,0010': ['PN', 'Secret^Person'],
    '0010,0020': ['LO', 'SECRET-1'],
    '0018,0020': ['CS', 'EP'],
    '0018,0022': ['CS', 'FS'],
    '0018,0023': ['CS', '2D'],
    '0018,0050': ['DS', '3'],
    '0018,0080': ['DS', '2000'],
    '0018,0081': ['DS', '30'],
    '0018,0087': ['DS', '3'],
    '0018,0095': ['DS', '2300'],
    '0018,1310': ['US', [64, 0, 0, 64]],
    '0018,1312': ['CS', 'COL'],
    '0020,000e': ['UI', `2.25.8.${series}`],
    '0020,0011': ['IS', series],
    '0020,0013': ['IS', instance],
    '0020,0032': ['DS', '-96\\-96\\0'],
    '0020,0037': ['DS', '1\\0\\0\\0\\1\\0'],
    '0028,0010': ['US', [64]],
    '0028,0011': ['US', [64]],
    '0028,0030': ['DS', '3\\3'],
    '7fe0,0010': ['OW', new Uint8Array(64)],
  };
  for (const [key, value] of Object.entries(more)) {
    const [tag, vr] = key.split(' ') as [string, string?];
    values[tag] = [vr ?? values[tag]![0], value];
  }
  return Object.entries(values)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([tag, [vr, value]]) => element(tag, vr, value));
}
