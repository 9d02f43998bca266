/**
 * Through the elements of a data set, into the sequences that are on the list, past all others.
 *
 * Lengths are never trusted: a value or an item that would end beyond what holds it ends the reading.
 *
 * @module
 */
import type { Element } from 'dicom-parser';
import type { Collector } from './collector.js';
import { CutOff, type ElementReader, UNDEFINED_LENGTH } from './element-reader.js';
import { latin1 } from './ascii.js';
import { isPrivate, LAST_TAG, roleOf, type TagRole } from './tags.js';

/** Something else than an item where an item must be, or items within items without end. */
export class DamagedSequence extends Error {}

/** Deepest nesting that is followed; functional groups have 3 levels. */
const MAX_DEPTH = 64;

const ITEM = 'xfffee000';
const ITEM_END = 'xfffee00d';
const SEQUENCE_END = 'xfffee0dd';

/**
 * Reads the elements of a data set into a collector.
 *
 * @param end - Where they end, in bytes.
 * @returns Whether an element after the last of interest was met: then the rest does not matter.
 * @throws {CutOff} The bytes end first. @throws {DamagedSequence} What is there cannot be followed.
 */
export function walkDataSet(
  reader: ElementReader,
  end: number,
  isExplicit: boolean,
  into: Collector,
): boolean {
  return walk(reader, { end, isExplicit, depth: 0, isOpen: false }, into) === 'beyond';
}

interface Span {
  readonly end: number;
  readonly isExplicit: boolean;
  readonly depth: number;
  /** Whether a delimiter ends it, and not its length. */
  readonly isOpen: boolean;
}

/** @param into - Undefined to go past the elements without looking at them. */
function walk(reader: ElementReader, span: Span, into: Collector | undefined): 'end' | 'beyond' {
  const { end, isExplicit, depth, isOpen } = span;
  if (depth > MAX_DEPTH) throw new DamagedSequence();
  const creators = new Map<string, string>();
  while (reader.position < end) {
    const element = reader.next(isExplicit);
    const { tag } = element;
    if (isOpen && tag === ITEM_END) return 'end';
    if (depth === 0 && tag > LAST_TAG) return 'beyond';
    const role = into === undefined ? undefined : lookUp(reader, element, creators);
    if (isSequence(element, role)) walkSequence(reader, element, span, into, role);
    else {
      const next = element.dataOffset + element.length;
      if (next > end) throw new CutOff();
      if (role?.role === 'value' || role?.role === 'condensed') into?.take(role, reader, element);
      reader.goTo(next);
    }
  }
  if (isOpen) throw new CutOff();
  return 'end';
}

/** Goes through a sequence, or past it; past a damaged one, if it says how long it is. */
function walkSequence(
  reader: ElementReader,
  element: Element,
  span: Span,
  into: Collector | undefined,
  role: TagRole | undefined,
): void {
  try {
    walkItems(reader, element, span, into, role);
  } catch (error) {
    const stop = element.dataOffset + element.length;
    const isPassable = element.length !== UNDEFINED_LENGTH && stop <= span.end;
    if (!(error instanceof DamagedSequence && isPassable)) throw error;
    reader.goTo(stop);
  }
}

function walkItems(
  reader: ElementReader,
  element: Element,
  { end, isExplicit, depth }: Span,
  into: Collector | undefined,
  role: TagRole | undefined,
): void {
  const { dataOffset, length, vr } = element;
  const isOpen = length === UNDEFINED_LENGTH;
  const stop = isOpen ? end : dataOffset + length;
  const isWanted = role?.role === 'nested' || role?.role === 'frames';
  if (!isOpen && !isWanted) {
    if (stop > end) throw new CutOff();
    reader.goTo(stop);
    return;
  }
  // PS3.5, section 6.2.2, note 2: in a value of unknown representation, items are implicit.
  const explicitItems = isExplicit && vr !== 'UN';
  while (reader.position < stop) {
    const item = reader.next(false);
    if (item.tag === SEQUENCE_END) return;
    if (item.tag !== ITEM) throw new DamagedSequence();
    const collector = isWanted ? into?.enter(role) : undefined;
    if (item.length === UNDEFINED_LENGTH) {
      const inside = { end: stop, isExplicit: explicitItems, depth: depth + 1, isOpen: true };
      walk(reader, inside, collector);
    } else {
      const itemEnd = item.dataOffset + item.length;
      if (collector !== undefined) {
        const inside = { isExplicit: explicitItems, depth: depth + 1, isOpen: false };
        // What is there of an item that is cut off counts.
        walk(reader, { ...inside, end: Math.min(itemEnd, stop) }, collector);
      }
      if (itemEnd > stop) throw new CutOff();
      reader.goTo(itemEnd);
    }
  }
  if (isOpen) throw new CutOff();
}

/** Undefined lengths end at a delimiter, whatever holds the items: a sequence, or fragments. */
function isSequence({ vr, length }: Element, role: TagRole | undefined): boolean {
  return (
    length === UNDEFINED_LENGTH ||
    vr === 'SQ' ||
    ((vr === undefined || vr === 'UN') && (role?.role === 'nested' || role?.role === 'frames'))
  );
}

/** What the element is read for; remembers who reserved which block (PS3.5, section 7.8.1). */
function lookUp(
  { bytes }: ElementReader,
  { tag, dataOffset, length }: Element,
  creators: Map<string, string>,
): TagRole | undefined {
  if (!isPrivate(tag)) return roleOf(tag, undefined);
  const [group, block, element] = [tag.slice(0, 5), tag.slice(5, 7), tag.slice(7)];
  if (block === '00') {
    if (length !== UNDEFINED_LENGTH) {
      const name = latin1(bytes.subarray(dataOffset, dataOffset + length)).replace(/\0/g, ' ');
      creators.set(`${group}${element}`, name);
    }
    return undefined;
  }
  return roleOf(tag, creators.get(`${group}${block}`));
}
