/**
 * How the elements of a file are written: PS3.10, section 7.1 (preamble, `DICM`, meta information) and
 * PS3.5, annex A (transfer syntaxes).
 *
 * Files without the preamble, and files whose elements are not as the transfer syntax says, are met:
 * where the first element shows how it is written, that counts.
 *
 * @module
 */
import { asciiTexts, latin1 } from './ascii.js';
import { CutOff, ElementReader, UNDEFINED_LENGTH } from './element-reader.js';

export interface Encoding {
  /** Where the meta information begins; the elements follow it. */
  readonly metaStart: number;
  /** Where the elements begin; deflated, they have to be expanded from there. */
  readonly start: number;
  readonly isDeflated: boolean;
  readonly isLittleEndian: boolean;
  /** Whether elements say how their values are represented. */
  readonly isExplicit: boolean;
}

/** Bytes before `DICM`. */
const PREAMBLE = 128;

const IMPLICIT = '1.2.840.10008.1.2';
const BIG_ENDIAN = '1.2.840.10008.1.2.2';
/** Deflated, and the two that refer to pixels elsewhere and are deflated. */
const DEFLATED = ['1.2.840.10008.1.2.1.99', '1.2.840.10008.1.2.4.95', '1.2.840.10008.1.2.4.205'];

/** Group in which data sets begin. */
const FIRST_GROUP = 0x0008;

const META_GROUP = 'x0002';

/** Value representations of PS3.5, table 6.2-1, by their letters. */
const REPRESENTATION =
  /^(AE|AS|AT|CS|DA|DS|DT|FD|FL|IS|LO|LT|OB|OD|OF|OL|OV|OW|PN|SH|SL|SQ|SS|ST|SV|TM|UC|UI|UL|UN|UR|US|UT|UV)$/;

/** Longest value of a first element in a file without preamble. */
const MAX_FIRST_LENGTH = 1024;

/** Finds how a file is written; undefined when it is no DICOM file. */
export function findEncoding(bytes: Uint8Array): Encoding | undefined {
  if (startsAt(bytes, PREAMBLE, 'DICM')) return afterMeta(bytes, PREAMBLE + 4);
  if (bytes[0] === 2 && bytes[1] === 0 && isExplicitAt(bytes, 0)) return afterMeta(bytes, 0);
  const bare = elementsAt(bytes, 0, undefined);
  return bare !== undefined && isPlausibleFirst(bytes, bare) ? bare : undefined;
}

/** Skips the meta information, which is always explicit and little endian, for its transfer syntax. */
function afterMeta(bytes: Uint8Array, metaStart: number): Encoding {
  const reader = new ElementReader(bytes, metaStart, true);
  let syntax: string | undefined;
  let start = metaStart;
  try {
    for (;;) {
      const { tag, length, dataOffset } = reader.next(true);
      if (!tag.startsWith(META_GROUP) || length === UNDEFINED_LENGTH) break;
      reader.goTo(dataOffset + length);
      start = reader.position;
      if (tag === 'x00020010') [syntax] = asciiTexts(bytes.subarray(dataOffset, start));
    }
  } catch (error) {
    if (!(error instanceof CutOff)) throw error;
  }
  if (syntax !== undefined && DEFLATED.includes(syntax)) {
    const written = { isDeflated: true, isLittleEndian: true, isExplicit: true };
    return { metaStart, start, ...written };
  }
  const shown = elementsAt(bytes, start, syntax);
  return {
    metaStart,
    start,
    isDeflated: false,
    isLittleEndian: shown?.isLittleEndian ?? syntax !== BIG_ENDIAN,
    isExplicit: shown?.isExplicit ?? syntax !== IMPLICIT,
  };
}

/** How the first element is written, as far as it shows. */
export function elementsAt(
  bytes: Uint8Array,
  start: number,
  syntax: string | undefined,
): Encoding | undefined {
  if (start + 8 > bytes.length) return undefined;
  const [low, high] = [bytes[start]!, bytes[start + 1]!];
  const little = low + 256 * high;
  const big = high + 256 * low;
  if (little !== FIRST_GROUP && big !== FIRST_GROUP) return undefined;
  const isExplicit = isExplicitAt(bytes, start);
  const isLittleEndian = little === FIRST_GROUP;
  // There is no implicit big endian: such bytes are something else, unless the file says so.
  if (!isLittleEndian && !isExplicit && syntax === undefined) return undefined;
  return { metaStart: start, start, isDeflated: false, isLittleEndian, isExplicit };
}

function isPlausibleFirst(bytes: Uint8Array, { isExplicit, isLittleEndian }: Encoding): boolean {
  if (isExplicit) return true;
  const { length } = new ElementReader(bytes, 0, isLittleEndian).next(false);
  return bytes[3] === 0 && length <= MAX_FIRST_LENGTH;
}

const isExplicitAt = (bytes: Uint8Array, start: number): boolean =>
  REPRESENTATION.test(latin1(bytes.subarray(start + 4, start + 6)));

const startsAt = (bytes: Uint8Array, position: number, text: string): boolean =>
  latin1(bytes.subarray(position, position + text.length)) === text;
