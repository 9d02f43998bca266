/**
 * Element by element through the bytes of a DICOM data set (PS3.5, sections 7.1 and 7.5).
 *
 * Headers of elements and numbers are decoded by `dicom-parser`; values stay where they are until
 * somebody asks for them, so nothing is allocated for what a length claims.
 *
 * @module
 */
import dicomParser from 'dicom-parser';
import type { ByteStream, Element } from 'dicom-parser';

/** Length that says: until a delimiter. */
export const UNDEFINED_LENGTH = 0xffffffff;

/** Value representations with 64-bit numbers (PS3.5, table 7.1-1), whose long lengths the parser takes for short ones. */
const LONG = new Set(['OV', 'SV', 'UV']);

/** The bytes end, or an element ends, before something that was begun. */
export class CutOff extends Error {}

export class ElementReader {
  private readonly stream: ByteStream;

  /** @param littleEndian - Whether the least significant byte of a number comes first. */
  constructor(
    readonly bytes: Uint8Array,
    start: number,
    readonly littleEndian: boolean,
  ) {
    if (bytes.length === 0) throw new CutOff();
    const parser = littleEndian
      ? dicomParser.littleEndianByteArrayParser
      : dicomParser.bigEndianByteArrayParser;
    this.stream = new dicomParser.ByteStream(parser, bytes, 0);
    this.stream.position = start;
  }

  get position(): number {
    return this.stream.position;
  }

  /** Goes to a position; it may be the end of the bytes, not beyond. */
  goTo(position: number): void {
    if (position > this.bytes.length) throw new CutOff();
    this.stream.position = position;
  }

  /**
   * Reads the header of an element and stops before its value.
   *
   * @param explicit - Whether elements say how their values are represented.
   */
  next(explicit: boolean): Element {
    const { stream } = this;
    const start = stream.position;
    if (start + 8 > this.bytes.length) throw new CutOff();
    const tag = dicomParser.readTag(stream);
    stream.position = start;
    try {
      // Items and delimiters never have a value representation.
      if (!explicit || tag.startsWith('xfffe')) {
        return dicomParser.readDicomElementImplicit(stream, tag);
      }
      const element = dicomParser.readDicomElementExplicit(stream, [], tag);
      if (!LONG.has(element.vr ?? '')) return element;
      stream.position = start + 8;
      element.length = stream.readUint32();
      element.dataOffset = stream.position;
      return element;
    } catch (error) {
      throw typeof error === 'string' ? new CutOff() : error;
    }
  }

  /** Numbers of a value; those that lie within its length. */
  numbers({ dataOffset, length }: Element, vr: keyof typeof BINARY): readonly number[] {
    const { size, read } = BINARY[vr];
    const parser = this.stream.byteArrayParser;
    const count = Math.min(Math.floor(length / size), MAX_NUMBERS);
    return Array.from({ length: count }, (_, i) => parser[read](this.bytes, dataOffset + i * size));
  }
}

/** Most numbers of one value that are read; the times of a volume's slices are the most there is. */
const MAX_NUMBERS = 2048;

/** Bytes of a number, and the parser's reader of it. */
const BINARY = {
  US: { size: 2, read: 'readUint16' },
  SS: { size: 2, read: 'readInt16' },
  UL: { size: 4, read: 'readUint32' },
  SL: { size: 4, read: 'readInt32' },
  FL: { size: 4, read: 'readFloat' },
  FD: { size: 8, read: 'readDouble' },
} as const;

/** Whether values of this representation are binary numbers. */
export const isBinary = (vr: string): vr is keyof typeof BINARY => Object.hasOwn(BINARY, vr);
