/**
 * The Siemens CSA header: a table of named values in a private element of images up to syngo VE.
 *
 * Layout (from open files and their published readers): `SV10`, four bytes, the number of entries and a
 * check value; each entry has a name of 64 bytes, a multiplicity, a type, a number, a count of items
 * and a check value; each item four numbers, the first its length, and its text, padded to 4 bytes.
 * Always little endian.
 *
 * @module
 */
import { asciiTexts } from './ascii.js';
import type { TagName } from './tags.js';

/** Entries that are read, and the element of the same meaning. */
const ENTRIES: Readonly<Record<string, TagName>> = {
  BandwidthPerPixelPhaseEncode: 'BandwidthPerPixelPhaseEncode',
  MosaicRefAcqTimes: 'MosaicRefAcqTimes',
  NumberOfImagesInMosaic: 'NumberOfImagesInMosaic',
  B_value: 'SiemensBValue',
  ImaPATModeText: 'PATModeText',
};

/** Their first bytes: most entries are told by them to be of no interest. */
const INITIALS = new Set(Object.keys(ENTRIES).map(name => name.charCodeAt(0)));

const NAME_BYTES = 64;

/** Bytes of an entry's head: name, multiplicity, type, number, count, check value. */
const ENTRY_BYTES = NAME_BYTES + 20;

/** Bytes of an item's head. */
const ITEM_BYTES = 16;

/** More entries than any header has. */
const MAX_ENTRIES = 1000;

/** Reads the entries of interest; as many as there are whole. Nothing from other bytes. */
export function readCsaHeader(bytes: Uint8Array): ReadonlyMap<TagName, readonly string[]> {
  const found = new Map<TagName, readonly string[]>();
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 16 || asciiTexts(bytes.subarray(0, 4))[0] !== 'SV10') return found;
  const count = Math.min(view.getUint32(8, true), MAX_ENTRIES);
  let position = 16;
  for (let entry = 0; entry < count && position + ENTRY_BYTES <= bytes.length; entry++) {
    const tag = tagOfEntry(bytes, position);
    const items = view.getUint32(position + NAME_BYTES + 12, true);
    position += ENTRY_BYTES;
    const texts: string[] = [];
    for (let item = 0; item < items; item++) {
      if (position + ITEM_BYTES > bytes.length) return found;
      const length = view.getUint32(position, true);
      const start = position + ITEM_BYTES;
      if (start + length > bytes.length) return found;
      if (tag !== undefined)
        texts.push(...asciiTexts(upToZero(bytes.subarray(start, start + length))));
      position = start + Math.ceil(length / 4) * 4;
    }
    if (tag !== undefined && texts.length > 0) found.set(tag, texts);
  }
  return found;
}

function tagOfEntry(bytes: Uint8Array, position: number): TagName | undefined {
  if (!INITIALS.has(bytes[position]!)) return undefined;
  const name = asciiTexts(upToZero(bytes.subarray(position, position + NAME_BYTES)))[0] ?? '';
  return Object.hasOwn(ENTRIES, name) ? ENTRIES[name] : undefined;
}

function upToZero(bytes: Uint8Array): Uint8Array {
  const end = bytes.indexOf(0);
  return end < 0 ? bytes : bytes.subarray(0, end);
}
