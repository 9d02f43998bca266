/**
 * MP3 -> samples, by the WebAssembly build of mpg123 (`mpg123-decoder`).
 *
 * The encoder's delay and padding are cut off where the file says how long they are (the usual info
 * frame), so that a decoded step is as long as what was encoded. Samples are not clipped: what an
 * encoder pushed above full scale comes out above 1.
 *
 * @module
 */
import { MPEGDecoder } from 'mpg123-decoder';
import {
  AUDIO_RATES_HZ,
  type AudioStream,
  bytesSource,
  type ByteSource,
  collectAudio,
} from './audio-stream.js';
import { badAudio, CONVERT_FIX } from './bad-audio.js';
import { type Mp3FrameHeader, readMp3Header } from './mp3-frames.js';

/** Bytes handed to the decoder at a time. */
const CHUNK_BYTES = 65_536;

/** The first frame is looked for in this many bytes after the tags. */
const SEARCH_BYTES = 65_536;

/** Bytes of the header of an ID3v2 tag (ID3v2.4.0, 3.1). */
const ID3_HEADER_BYTES = 10;

/**
 * Opens an MP3 file of any length.
 *
 * @throws {UserError} `BAD_AUDIO`: no frame is found, or (when read) the stream does not decode.
 */
export function openMp3(source: ByteSource, where: string): AudioStream {
  const first = firstMp3Frame(source);
  if (first === undefined) {
    throw badAudio({
      where,
      found: 'no MP3 frame',
      allowed: 'MPEG-1 or MPEG-2 audio layer III',
      fix: CONVERT_FIX,
    });
  }
  const { sampleRateHz, channels } = first;
  if (sampleRateHz < AUDIO_RATES_HZ.min) {
    throw badAudio({
      where,
      found: `a sample rate of ${sampleRateHz} Hz`,
      allowed: `at least ${AUDIO_RATES_HZ.min} Hz`,
      fix: CONVERT_FIX,
    });
  }
  return {
    format: 'mp3',
    sampleRateHz,
    channels,
    warnings: [],
    blocks: () => mp3Blocks(source, where, channels),
  };
}

/** All samples of an MP3 file in memory: for short ones. @throws {UserError} as {@link openMp3}. */
export async function decodeMp3(
  bytes: Uint8Array,
  where = 'the MP3 file',
): Promise<{ readonly sampleRateHz: number; readonly channels: readonly Float64Array[] }> {
  const audio = openMp3(bytesSource(bytes), where);
  return { sampleRateHz: audio.sampleRateHz, channels: await collectAudio(audio) };
}

/** Header of the first frame, or undefined when the source is no MP3 file. */
export function firstMp3Frame(source: ByteSource): Mp3FrameHeader | undefined {
  const start = endOfId3(source);
  const bytes = source.read(start, SEARCH_BYTES);
  for (let offset = 0; offset + 4 <= bytes.length; offset++) {
    const header = readMp3Header(bytes, offset);
    if (header === undefined) continue;
    // Any two bytes can look like a frame by chance: a second one must follow, or the file end.
    const next = offset + header.bytes;
    if (readMp3Header(bytes, next) !== undefined || start + next === source.size) return header;
  }
  return undefined;
}

async function* mp3Blocks(
  source: ByteSource,
  where: string,
  channels: number,
): AsyncGenerator<readonly Float64Array[]> {
  const decoder = new MPEGDecoder();
  await decoder.ready;
  try {
    let samples = 0;
    for (let offset = 0; offset < source.size; offset += CHUNK_BYTES) {
      const decoded = decoder.decode(source.read(offset, CHUNK_BYTES));
      if (decoded.errors.length > 0) throw damaged(where, offset);
      if (decoded.samplesDecoded === 0) continue;
      samples += decoded.samplesDecoded;
      // The decoder gives two channels always; of a mono file they are the same.
      yield decoded.channelData.slice(0, channels).map(channel => new Float64Array(channel));
    }
    if (samples === 0) throw damaged(where, 0);
  } finally {
    decoder.free();
  }
}

const damaged = (where: string, offset: number): Error =>
  badAudio({
    where,
    found: `damaged MP3 data after byte ${offset}`,
    allowed: 'a stream that decodes without errors',
    fix: 'Copy or export the file again.',
  });

/** Where an ID3v2 tag at the start ends; 0 without one. Its size has 7 bits in each of 4 bytes. */
function endOfId3(source: ByteSource): number {
  const head = source.read(0, ID3_HEADER_BYTES);
  if (head.length < ID3_HEADER_BYTES || String.fromCharCode(...head.subarray(0, 3)) !== 'ID3')
    return 0;
  const size = head.subarray(6, 10).reduce((sum, byte) => sum * 128 + (byte & 0x7f), 0);
  return ID3_HEADER_BYTES + size;
}
