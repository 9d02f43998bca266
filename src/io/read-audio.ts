/**
 * Opens an audio file of any kind we read: WAV, MP3 or FLAC, told apart by what is in it.
 *
 * @module
 */
import { type AudioStream, type ByteSource, collectAudio } from '../formats/audio-stream.js';
import { badAudio, CONVERT_FIX } from '../formats/bad-audio.js';
import { isFlac, openFlac } from '../formats/flac-decoder.js';
import { firstMp3Frame, openMp3 } from '../formats/mp3-decoder.js';
import { openWav } from '../formats/wav.js';
import { openFile } from './file-source.js';

/** An audio file; samples are read from the disk as they are asked for. */
export interface AudioFile extends AudioStream {
  readonly path: string;
  /** All samples, one array per channel: for short files. */
  samples(): Promise<readonly Float64Array[]>;
}

/** Starts of files that people give instead, for the message. */
const OTHER_STARTS: readonly (readonly [start: string, what: string])[] = [
  ['OggS', 'an Ogg file'],
  ['RIFX', 'a big-endian WAV file'],
  ['FORM', 'an AIFF file'],
  ['caff', 'a Core Audio file'],
  ['ADIF', 'an AAC file'],
  ['PK', 'a ZIP archive'],
  ['%PDF', 'a PDF document'],
];

/**
 * Opens a file.
 *
 * @throws {UserError} `CANNOT_READ`: missing or not permitted. `BAD_AUDIO`: not audio that we read.
 * Both can come when blocks are read, too.
 */
// A promise, because a format may need to start its decoder.
// eslint-disable-next-line @typescript-eslint/require-await
export async function readAudio(path: string): Promise<AudioFile> {
  const audio = withFile(path, source => openStream(source, path));
  const reopened: AudioStream = { ...audio, blocks: () => blocksOf(path) };
  return { ...reopened, path, samples: () => collectAudio(reopened) };
}

/** Each reading opens the file anew and closes it, however it ends. */
async function* blocksOf(path: string): AsyncGenerator<readonly Float64Array[]> {
  const file = openFile(path);
  try {
    yield* openStream(file, path).blocks();
  } finally {
    file.close();
  }
}

function withFile<T>(path: string, use: (source: ByteSource) => T): T {
  const file = openFile(path);
  try {
    return use(file);
  } finally {
    file.close();
  }
}

function openStream(source: ByteSource, where: string): AudioStream {
  const start = String.fromCharCode(...source.read(0, 4));
  if (['RIFF', 'RF64', 'BW64'].includes(start)) return openWav(source, where);
  if (isFlac(source)) return openFlac(source, where);
  if (firstMp3Frame(source) !== undefined) return openMp3(source, where);
  throw badAudio({
    where,
    found: whatItIs(source, start),
    allowed: 'WAV, MP3 or FLAC audio',
    fix: CONVERT_FIX,
  });
}

function whatItIs(source: ByteSource, start: string): string {
  if (source.size === 0) return 'an empty file';
  const known = OTHER_STARTS.find(([text]) => start.startsWith(text));
  if (known !== undefined) return known[1];
  if (String.fromCharCode(...source.read(4, 4)) === 'ftyp') return 'an MP4 or M4A file';
  const bytes = source.read(0, 512);
  const isText = bytes.every(byte => byte >= 32 || (byte >= 9 && byte <= 13));
  return isText ? 'a text file' : 'a file of a kind that is not known here';
}
