/**
 * Gathers the listed elements of a file while it is read, and condenses those that may not leave as they
 * are.
 *
 * @module
 */
import type { Element } from 'dicom-parser';
import { asciiTexts } from './ascii.js';
import { codeOf, multibandOfComment, timeOfDaySeconds } from './codes.js';
import { readCsaHeader } from './csa-header.js';
import { type ElementReader, isBinary } from './element-reader.js';
import { type ProtocolText, readProtocolText } from './protocol-text.js';
import { type DicomValue, TagValues } from './tag-values.js';
import { type CondensedName, isPrivate, type TagName, type TagRole } from './tags.js';

/** Longest text of a value that is read, in bytes; times of slices written as text are the longest. */
const MAX_TEXT = 32 * 1024;

/** Most frames that are described one by one. */
const MAX_FRAMES = 100_000;

/** What frames differ in. */
const OF_FRAMES: ReadonlySet<TagName> = new Set<TagName>([
  ...(['EffectiveEchoTime', 'DiffusionBValue', 'InStackPositionNumber'] as const),
  ...([
    'TemporalPositionIndex',
    'ImagePositionPatient',
    'FrameType',
    'AcquisitionDuration',
  ] as const),
]);

type Taken = Extract<TagRole, { role: 'value' | 'condensed' }>;

export class Collector {
  readonly values = new TagValues();
  readonly frames: Collector[] = [];
  protocol: ProtocolText = new Map();
  seriesCode: string | undefined;
  instanceCode: string | undefined;
  timeOfDaySeconds: number | undefined;
  multibandOfComment: number | undefined;

  /**
   * @param isKnown - Whether the protocol text of a series was read from another of its files.
   * @param first - Of the first frame: the collector of the file, which gets its values, too.
   */
  constructor(
    private readonly isKnown: (series: string) => boolean,
    private readonly isFrame = false,
    private readonly first?: Collector,
  ) {}

  /** The collector for the elements of an item; undefined when they are of no use. */
  enter(role: Extract<TagRole, { role: 'nested' | 'frames' }>): Collector | undefined {
    if (role.role === 'nested') {
      return this.isFrame && this.first === undefined && role.isOfFile ? undefined : this;
    }
    if (this.isFrame || this.frames.length >= MAX_FRAMES) return undefined;
    const frame = new Collector(this.isKnown, true, this.frames.length === 0 ? this : undefined);
    this.frames.push(frame);
    return frame;
  }

  /** Takes the value of a listed element. */
  take(role: Taken, reader: ElementReader, element: Element): void {
    this.first?.take(role, reader, element);
    if (role.role === 'condensed') this.condense(role.name, valueBytes(reader, element));
    else if (!this.isFrame || OF_FRAMES.has(role.name)) {
      this.values.keep(role.name, decode(role, reader, element), placeOf(element.tag));
    }
  }

  private needsProtocol(): boolean {
    if (this.isFrame || this.protocol.size > 0) return false;
    return this.seriesCode === undefined || !this.isKnown(this.seriesCode);
  }

  private condense(name: CondensedName, bytes: Uint8Array): void {
    const text = (): string => asciiTexts(bytes.subarray(0, MAX_TEXT)).join(' ');
    switch (name) {
      case 'FrameAcquisitionDateTime':
      case 'AcquisitionTime':
        this.timeOfDaySeconds ??= timeOfDaySeconds(text());
        break;
      case 'SeriesInstanceUID':
        this.seriesCode ??= codeIfAny(text());
        break;
      case 'SOPInstanceUID':
        this.instanceCode ??= codeIfAny(text());
        break;
      case 'ImageComments':
        this.multibandOfComment ??= multibandOfComment(text());
        break;
      case 'CSAImageHeader':
        for (const [tag, value] of readCsaHeader(bytes)) {
          this.values.keep(tag, value, '(0029,xx10)');
        }
        break;
      case 'CSASeriesHeader':
      case 'ProtocolText':
        if (this.needsProtocol()) this.protocol = readProtocolText(bytes);
    }
  }
}

const codeIfAny = (text: string): string | undefined => (text === '' ? undefined : codeOf(text));

function decode(
  { row }: Taken & { role: 'value' },
  reader: ElementReader,
  element: Element,
): DicomValue {
  const vr = element.vr === undefined || element.vr === 'UN' ? row.vr : element.vr;
  if (isBinary(vr)) return reader.numbers(element, vr);
  return asciiTexts(valueBytes(reader, element).subarray(0, MAX_TEXT));
}

const valueBytes = ({ bytes }: ElementReader, { dataOffset, length }: Element): Uint8Array =>
  bytes.subarray(dataOffset, dataOffset + length);

/** `x00180080` as people write it; in private elements without the block. */
function placeOf(tag: string): string {
  const [group, element] = [tag.slice(1, 5), tag.slice(5)];
  return `(${group},${isPrivate(tag) ? `xx${element.slice(2)}` : element})`;
}
