/**
 * What a kit's files must not hold: marks of the person who made it or of the machine it was made
 * on, in names, tags and metadata.
 *
 * @module
 */
import { readId3 } from '../formats/id3.js';

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
  bytes: Uint8Array,
  absent: readonly string[],
): readonly string[] {
  // Samples hold no words, and a disc has more of them than a string can: foreign chunks are found as such.
  const text = path.endsWith('.wav') ? '' : new TextDecoder('utf-8').decode(bytes);
  const words = absent.filter(word => holds(text, word) || holds(path, word));
  return [...words.map(word => `the word "${word}"`), ...marksByKind(path, bytes, text)];
}

function marksByKind(path: string, bytes: Uint8Array, text: string): readonly string[] {
  if (path.endsWith('.mp3')) return tagMarks(bytes);
  if (path.endsWith('.wav')) return chunkMarks(bytes);
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

function chunkMarks(bytes: Uint8Array): readonly string[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const marks: string[] = [];
  for (let at = 12; at + 8 <= bytes.length;) {
    const id = String.fromCharCode(...bytes.subarray(at, at + 4));
    if (!KNOWN_CHUNKS.has(id)) marks.push(`a chunk "${id}"`);
    const size = view.getUint32(at + 4, true);
    at += 8 + size + (size % 2);
  }
  return marks;
}

const holds = (text: string, word: string): boolean =>
  text.toLowerCase().includes(word.toLowerCase());
