/**
 * FLAC -> samples, by the WebAssembly build of libFLAC (`@wasm-audio-decoders/flac`).
 *
 * Source of the header: RFC 9639, 8.1 and 8.2. The decoder leaves out frames that it cannot read
 * without saying so; the number of samples in the header is what a file is checked against.
 *
 * @module
 */
import { FLACDecoder } from '@wasm-audio-decoders/flac';
import { AUDIO_RATES_HZ, type AudioStream, type ByteSource } from './audio-stream.js';
import { badAudio, CONVERT_FIX } from './bad-audio.js';

/** Bytes handed to the decoder at a time. */
const CHUNK_BYTES = 65_536;

/** Marker, block header and stream information: the start of every FLAC file. */
const HEADER_BYTES = 4 + 4 + 34;

interface StreamInfo {
  readonly sampleRateHz: number;
  readonly channels: number;
  /** Samples per channel; 0 is "not known". */
  readonly length: number;
}

/**
 * Opens a FLAC file of any length.
 *
 * @throws {UserError} `BAD_AUDIO`: no stream information, a sample rate out of range, or (when read)
 * damaged or missing frames.
 */
export function openFlac(source: ByteSource, where: string): AudioStream {
  const info = streamInfo(source, where);
  return {
    format: 'flac',
    sampleRateHz: info.sampleRateHz,
    channels: info.channels,
    warnings: [],
    blocks: () => flacBlocks(source, where, info),
  };
}

/** Whether a source starts as FLAC files do. */
export const isFlac = (source: ByteSource): boolean =>
  String.fromCharCode(...source.read(0, 4)) === 'fLaC';

function streamInfo(source: ByteSource, where: string): StreamInfo {
  const bytes = source.read(0, HEADER_BYTES);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  // The first block is of type 0, stream information; the top bit says whether it is the last.
  if (bytes.length < HEADER_BYTES || (view.getUint8(4) & 0x7f) !== 0) {
    throw badAudio({
      where,
      found: 'a FLAC file without stream information',
      allowed: 'stream information in the first block',
      fix: CONVERT_FIX,
    });
  }
  // From bit 80 of the block: 20 bits rate, 3 bits channels - 1, 5 bits sample size - 1, 36 bits length.
  const packed = view.getBigUint64(18);
  const sampleRateHz = Number(packed >> 44n);
  if (sampleRateHz < AUDIO_RATES_HZ.min || sampleRateHz > AUDIO_RATES_HZ.max) {
    throw badAudio({
      where,
      found: `a sample rate of ${sampleRateHz} Hz`,
      allowed: `${AUDIO_RATES_HZ.min} to ${AUDIO_RATES_HZ.max} Hz`,
      fix: CONVERT_FIX,
    });
  }
  return {
    sampleRateHz,
    channels: Number((packed >> 41n) & 7n) + 1,
    length: Number(packed & 0xf_ffff_ffffn),
  };
}

async function* flacBlocks(
  source: ByteSource,
  where: string,
  info: StreamInfo,
): AsyncGenerator<readonly Float64Array[]> {
  const decoder = new FLACDecoder();
  await decoder.ready;
  let samples = 0;
  try {
    let isEnd = false;
    for (let offset = 0; !isEnd; offset += CHUNK_BYTES) {
      const chunk = source.read(offset, CHUNK_BYTES);
      isEnd = chunk.length === 0;
      // What is left in the decoder comes after the last chunk.
      const decoded = isEnd ? await decoder.flush() : await decoder.decode(chunk);
      if (decoded.errors.length > 0) throw damaged(where, samples, info.length);
      if (decoded.samplesDecoded === 0) continue;
      samples += decoded.samplesDecoded;
      yield decoded.channelData.map(channel => new Float64Array(channel));
    }
  } finally {
    decoder.free();
  }
  if (samples === 0 || (info.length > 0 && samples !== info.length)) {
    throw damaged(where, samples, info.length);
  }
}

const damaged = (where: string, samples: number, length: number): Error =>
  badAudio({
    where,
    found: `FLAC data that decodes to ${samples} samples`,
    allowed: length > 0 ? `the ${length} samples its header announces` : 'at least one sample',
    fix: 'The file is damaged or cut off: copy or export it again.',
  });
