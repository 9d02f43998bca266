/**
 * What a kit's files must not hold: marks of the person who made it or of the machine it was made
 * on, in names, tags and metadata.
 *
 * @module
 */
import type { ByteSource } from '../../formats/audio-stream.js';
import { readId3 } from '../../formats/id3.js';

/** Frames that our tags have. */
const KNOWN_FRAMES = new Set(['TIT2', 'TALB', 'TRCK', 'TLAN', 'COMM', 'TXXX']);

/** Descriptions of our own TXXX frames. */
const KNOWN_CUSTOM = new Set(['KIT', 'REPLAYGAIN_TRACK_GAIN', 'REPLAYGAIN_ALBUM_GAIN']);

/** Places on a disk that name an account or a machine. */
const PATHS = /(?:file:\/\/|\/home\/|\/Users\/|\/root\/|\/tmp\/|\b[A-Za-z]:\\Users\\)[^\s"'<>)]*/;

/** A PDF's own record of who made it when; ours are fixed. */
const PDF_DATE =
  /\/(?:CreationDate|ModDate)\s*\(D:(?!20000101000000)[^)]*\)|<xmp:\w*Date>(?!2000-01-01)[^<]*/;
const PDF_AUTHOR = /\/Author\b|<dc:creator>/;

/** A note in an ID3 version 1 or APE tag at the end of a file, which we never write. */
const OTHER_TAGS = ['TAG', 'APETAGEX'];

/** RIFF chunks that our WAV files have. */
const KNOWN_CHUNKS = new Set(['fmt ', 'data']);

/**
 * What in a file could tell whose it is.
 *
 * @param path - Relative to the kit.
 * @param absent - Words that must not occur anywhere, whatever their case.
 * @returns Findings in words, without a full stop.
 */
export function privateMarks(
  path: string,
  content: ByteSource,
  absent: readonly string[],
): readonly string[] {
  const inName = absent.filter(word => holds(path, word));
  // Samples hold no words, and a disc is too large to be held: foreign chunks are found as such.
  if (path.endsWith('.wav')) return [...inName.map(theWord), ...chunkMarks(content)];
  const bytes = content.read(0, content.size);
  const text = new TextDecoder('utf-8').decode(bytes);
  const words = absent.filter(word => inName.includes(word) || holds(text, word));
  return [...words.map(theWord), ...marksByKind(path, bytes, text)];
}

const theWord = (word: string): string => `the word "${word}"`;

function marksByKind(path: string, bytes: Uint8Array, text: string): readonly string[] {
  if (path.endsWith('.mp3')) return tagMarks(bytes);
  const found = PATHS.exec(text)?.[0];
  const paths = found === undefined ? [] : [`a path of the machine, ${found}`];
  if (!path.endsWith('.pdf')) return paths;
  const date = PDF_DATE.exec(text)?.[0];
  return [
    ...paths,
    ...(date === undefined ? [] : [`a date of making, ${date}`]),
    ...(PDF_AUTHOR.test(text) ? ['an author'] : []),
  ];
}

function tagMarks(bytes: Uint8Array): readonly string[] {
  const end = new TextDecoder('latin1').decode(bytes.subarray(-160));
  const others = OTHER_TAGS.filter(tag => end.includes(tag)).map(tag => `a ${tag} tag at its end`);
  let frames;
  try {
    ({ frames } = readId3(bytes));
  } catch (error) {
    return [...others, `a tag that is not ours: ${(error as Error).message}`];
  }
  const foreign = frames
    .filter(({ id, description }) =>
      id === 'TXXX' ? !KNOWN_CUSTOM.has(description) : !KNOWN_FRAMES.has(id),
    )
    .map(({ id, description, text }) => `a tag ${id} ${description} ${text}`.trim());
  const paths = frames.flatMap(({ id, text }) => {
    const found = PATHS.exec(text)?.[0];
    return found === undefined ? [] : [`a path of the machine in its tag ${id}, ${found}`];
  });
  return [...others, ...foreign, ...paths];
}

function chunkMarks(content: ByteSource): readonly string[] {
  const marks: string[] = [];
  for (let at = 12; at + 8 <= content.size;) {
    const head = content.read(at, 8);
    const id = String.fromCharCode(...head.subarray(0, 4));
    if (!KNOWN_CHUNKS.has(id)) marks.push(`a chunk "${id}"`);
    const size = new DataView(head.buffer, head.byteOffset).getUint32(4, true);
    at += 8 + size + (size % 2);
  }
  return marks;
}

const holds = (text: string, word: string): boolean =>
  text.toLowerCase().includes(word.toLowerCase());
