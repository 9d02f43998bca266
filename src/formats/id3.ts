/**
 * ID3v2.3 tags: what a player shows of an MP3.
 *
 * Source: "ID3 tag version 2.3.0" (informal standard, 1999), sections 3.1, 3.3, 4.2, 4.2.2, 4.11.
 * Version 2.3, since players of every age read it; text is Latin-1 where that suffices, else UTF-16.
 *
 * @module
 */
import { joinBytes } from './join-bytes.js';

/** What a kit writes into a tag. Nothing in it may identify a person. */
export interface Id3Tag {
  /** TIT2. */
  readonly title: string;
  /** TALB. */
  readonly album: string;
  /** TRCK: number and, when known, how many there are. */
  readonly track?: { readonly number: number; readonly of: number };
  /** TLAN: three-letter code (ISO 639-2). */
  readonly language: string;
  /** COMM. */
  readonly comment: string;
  /** TXXX: description and value. */
  readonly custom: readonly (readonly [description: string, value: string])[];
}

/** A frame as it was read. */
export interface Id3Frame {
  /** For example `TIT2`. */
  readonly id: string;
  /** Of TXXX and COMM; else empty. */
  readonly description: string;
  /** Text of T... and COMM frames; for all others empty. */
  readonly text: string;
}

const HEADER_BYTES = 10;

/** Bytes of a tag, to stand before the audio. */
export function writeId3(tag: Id3Tag): Uint8Array {
  const frames = joinBytes([
    textFrame('TIT2', tag.title),
    textFrame('TALB', tag.album),
    ...(tag.track === undefined ? [] : [textFrame('TRCK', `${tag.track.number}/${tag.track.of}`)]),
    textFrame('TLAN', tag.language),
    commentFrame(tag.language, tag.comment),
    ...tag.custom.map(([description, value]) => customFrame(description, value)),
  ]);
  const header = new Uint8Array(HEADER_BYTES);
  header.set(latin1Bytes('ID3'));
  header[3] = 3;
  writeSyncSafe(header, 6, frames.length);
  return joinBytes([header, frames]);
}

/**
 * The frames of a tag at the start of a file, and where the audio begins (0 without a tag).
 *
 * @throws {RangeError} There is a tag, but not of version 2.3 without flags, or it is broken.
 */
export function readId3(bytes: Uint8Array): { frames: readonly Id3Frame[]; audioStart: number } {
  if (latin1(bytes.subarray(0, 3)) !== 'ID3') return { frames: [], audioStart: 0 };
  if (bytes[3] !== 3 || bytes[5] !== 0) throw new RangeError('not an ID3 tag of version 2.3');
  const audioStart = HEADER_BYTES + readSyncSafe(bytes, 6);
  if (audioStart > bytes.length) throw new RangeError('the ID3 tag is longer than its file');
  const frames: Id3Frame[] = [];
  const view = new DataView(bytes.buffer, bytes.byteOffset, audioStart);
  // A zero where a frame would start is padding up to the audio.
  for (let at = HEADER_BYTES; at + HEADER_BYTES <= audioStart && bytes[at] !== 0;) {
    const id = latin1(bytes.subarray(at, at + 4));
    const end = at + HEADER_BYTES + view.getUint32(at + 4);
    if (end > audioStart) throw new RangeError(`the ID3 frame ${id} is longer than its tag`);
    frames.push(readFrame(id, bytes.subarray(at + HEADER_BYTES, end)));
    at = end;
  }
  return { frames, audioStart };
}

function readFrame(id: string, body: Uint8Array): Id3Frame {
  const isWide = body[0] === 1;
  const decode = (part: Uint8Array): string =>
    isWide ? new TextDecoder('utf-16le').decode(part) : latin1(part);
  if (id !== 'TXXX' && id !== 'COMM') {
    const text = id.startsWith('T') ? decode(body.subarray(1)) : '';
    return { id, description: '', text: text.replace(/\0+$/, '') };
  }
  const content = decode(body.subarray(id === 'COMM' ? 4 : 1));
  const split = content.indexOf('\0');
  return {
    id,
    description: stripMark(content.slice(0, split)),
    text: stripMark(content.slice(split + 1)).replace(/\0+$/, ''),
  };
}

function textFrame(id: string, text: string): Uint8Array {
  return frame(id, isLatin1(text), [], [text]);
}

function customFrame(description: string, value: string): Uint8Array {
  return frame('TXXX', isLatin1(description + value), [], [description, value]);
}

function commentFrame(language: string, text: string): Uint8Array {
  return frame('COMM', isLatin1(text), [latin1Bytes(language)], ['', text]);
}

/** A frame: encoding, what stands before the texts, and the texts with a zero between them. */
function frame(
  id: string,
  narrow: boolean,
  before: readonly Uint8Array[],
  texts: readonly string[],
): Uint8Array {
  const encode = (text: string): Uint8Array => (narrow ? latin1Bytes(text) : utf16(text));
  const zero = new Uint8Array(narrow ? 1 : 2);
  const body = joinBytes([
    Uint8Array.of(narrow ? 0 : 1),
    ...before,
    ...texts.flatMap((text, i) => (i === 0 ? [encode(text)] : [zero, encode(text)])),
  ]);
  const header = new Uint8Array(HEADER_BYTES);
  header.set(latin1Bytes(id));
  new DataView(header.buffer).setUint32(4, body.length);
  return joinBytes([header, body]);
}

const isLatin1 = (text: string): boolean => Array.from(text).every(c => c.charCodeAt(0) <= 0xff);

/** One byte per character. */
const latin1Bytes = (text: string): Uint8Array => Uint8Array.from(text, c => c.charCodeAt(0));

const latin1 = (bytes: Uint8Array): string =>
  Array.from(bytes, byte => String.fromCharCode(byte)).join('');

/** UTF-16, little end first, with its byte-order mark. */
function utf16(text: string): Uint8Array {
  const bytes = new Uint8Array(2 + 2 * text.length);
  const view = new DataView(bytes.buffer);
  view.setUint16(0, 0xfeff, true);
  for (let i = 0; i < text.length; i++) view.setUint16(2 + 2 * i, text.charCodeAt(i), true);
  return bytes;
}

const stripMark = (text: string): string => text.replace(/^\ufeff/, '');

/** 28 bits in four bytes of seven, so that no byte looks like the start of audio. */
function writeSyncSafe(bytes: Uint8Array, offset: number, value: number): void {
  for (let i = 0; i < 4; i++) bytes[offset + i] = (value >> (7 * (3 - i))) & 0x7f;
}

const readSyncSafe = (bytes: Uint8Array, offset: number): number =>
  bytes.subarray(offset, offset + 4).reduce((value, byte) => (value << 7) | (byte & 0x7f), 0);
