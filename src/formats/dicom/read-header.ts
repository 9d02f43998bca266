/**
 * The header of a DICOM file: the listed elements of its data set, of its functional groups and of its
 * private blocks. Pixels are never read, nor is anything that is not on the list of `tags.ts`.
 *
 * @module
 */
import { codeOf } from './codes.js';
import { Collector } from './collector.js';
import { CutOff, ElementReader } from './element-reader.js';
import { type Encoding, elementsAt, findEncoding } from './encoding.js';
import { expandHead } from './expand.js';
import type { ProtocolText } from './protocol-text.js';
import type { TagValues } from './tag-values.js';
import { DamagedSequence, walkDataSet } from './walk.js';

/** One image of a file: a frame, or the only one. */
export interface DicomFrame {
  readonly values: TagValues;
  /** When it was acquired, in seconds since midnight; only differences have a use. */
  readonly timeOfDaySeconds: number | undefined;
}

export interface DicomHeader {
  /** Of the file; where frames differ, of the first. */
  readonly values: TagValues;
  /** Frames that are described one by one; empty in a file of a single image. */
  readonly frames: readonly DicomFrame[];
  /** Settings of the protocol text in Siemens files; empty in others, and when the series is known. */
  readonly protocol: ProtocolText;
  /** Tells series apart, and is good for nothing else. */
  readonly series: string;
  /** Tells images apart, and is good for nothing else. */
  readonly instance: string;
  readonly timeOfDaySeconds: number | undefined;
  /** Slices excited at once, where the comment of an image says so. */
  readonly multibandOfComment: number | undefined;
  /** Whether it was read to its end. */
  readonly isWhole: boolean;
}

export type DicomRead =
  | { readonly kind: 'header'; readonly header: DicomHeader }
  /** The bytes end within the header, and the file goes on. */
  | { readonly kind: 'more' }
  | { readonly kind: 'not-dicom' };

type IsKnown = (series: string) => boolean;

/** Compressed files are expanded to this many bytes first, then to 4 times as many until the header is whole. */
const FIRST_EXPANSION = 256 * 1024;

/** At most this many expanded bytes are read, whatever the file claims. */
const MAX_EXPANSION = 32 * 1024 * 1024;

/**
 * Reads the header in the first bytes of a file.
 *
 * @param bytes - From the first byte of the file on.
 * @param isWhole - Whether they are the whole file.
 * @param isKnown - Whether a series is known already: then its protocol text, which is the same in all of
 * its files and takes most of the time, is not read again.
 * @returns Never throws for what is in the bytes: of a damaged header, what comes before the damage.
 */
export function readDicomHeader(
  bytes: Uint8Array,
  isWhole: boolean,
  isKnown: IsKnown = () => false,
): DicomRead {
  if (bytes[0] === 0x1f && bytes[1] === 0x8b) {
    return readExpanded('gzip', bytes, isWhole, (head, whole) => readPlain(head, whole, isKnown));
  }
  return readPlain(bytes, isWhole, isKnown);
}

function readPlain(bytes: Uint8Array, isWhole: boolean, isKnown: IsKnown): DicomRead {
  const encoding = findEncoding(bytes);
  if (encoding === undefined) return { kind: 'not-dicom' };
  if (!encoding.isDeflated) {
    return readElements(bytes, encoding, isWhole, isKnown, metaOf(bytes, encoding));
  }
  const deflated = bytes.subarray(encoding.start);
  return readExpanded('deflate', deflated, isWhole, (head, whole) => {
    const shown = elementsAt(head, 0, undefined) ?? encoding;
    return readElements(head, { ...shown, start: 0 }, whole, isKnown, metaOf(bytes, encoding));
  });
}

/** The meta information, which is never deflated. */
const metaOf = (bytes: Uint8Array, { metaStart, start }: Encoding): Uint8Array =>
  bytes.subarray(metaStart, start);

function readExpanded(
  kind: 'gzip' | 'deflate',
  bytes: Uint8Array,
  isWhole: boolean,
  read: (head: Uint8Array, isWhole: boolean) => DicomRead,
): DicomRead {
  for (let limit = FIRST_EXPANSION; ; limit *= 4) {
    const head = expandHead(kind, bytes, limit);
    const isLast = head.isWhole || limit >= MAX_EXPANSION;
    const result = read(head.bytes, isLast && (isWhole || !head.isWhole));
    if (result.kind !== 'more' || isLast) return result;
  }
}

function readElements(
  bytes: Uint8Array,
  encoding: Encoding,
  isWhole: boolean,
  isKnown: IsKnown,
  meta: Uint8Array,
): DicomRead {
  const { start, isLittleEndian, isExplicit } = encoding;
  const collector = new Collector(isKnown);
  let isComplete = true;
  try {
    if (meta.length > 0)
      walkDataSet(new ElementReader(meta, 0, true), meta.length, true, collector);
    const reader = new ElementReader(bytes, start, isLittleEndian);
    isComplete = walkDataSet(reader, bytes.length, isExplicit, collector) || isWhole;
  } catch (error) {
    if (!(error instanceof CutOff || error instanceof DamagedSequence)) throw error;
    isComplete = false;
  }
  const { values } = collector;
  // Of a file that is no MR image, no more is needed.
  const isOther = values.has('Modality') && values.text('Modality') !== 'MR';
  if (!isComplete && !isWhole && !isOther) return { kind: 'more' };
  return {
    kind: 'header',
    header: {
      values,
      frames: collector.frames,
      protocol: collector.protocol,
      series: collector.seriesCode ?? codeOf(seriesWords(values)),
      instance: collector.instanceCode ?? '',
      timeOfDaySeconds: collector.timeOfDaySeconds,
      multibandOfComment: collector.multibandOfComment,
      isWhole: isComplete,
    },
  };
}

/** What tells series apart in a file that has no code for it. */
const seriesWords = (values: TagValues): string =>
  [values.text('SeriesDescription'), values.numbers('SeriesNumber').join()].join(' ');
