/**
 * The chunks of a WAV file: where the samples are and how they are stored.
 *
 * Sources: Multimedia Programming Interface and Data Specifications 1.0 (1991) for RIFF;
 * WAVEFORMATEXTENSIBLE as in the Windows driver documentation; ITU-R BS.2088 for RF64/BW64.
 * Sizes in a header are claims: none is believed beyond the end of the file.
 *
 * @module
 */
import { AUDIO_RATES_HZ, type ByteSource, MAX_AUDIO_CHANNELS } from './audio-stream.js';
import { type AudioProblem, badAudio, CONVERT_FIX } from './bad-audio.js';
import { isSampleFormat, type SampleFormat } from './wav-coder.js';

export interface WavLayout {
  readonly format: SampleFormat;
  readonly channels: number;
  readonly sampleRateHz: number;
  /** First byte of the samples. */
  readonly dataOffset: number;
  /** Whole frames that the file really holds. */
  readonly frames: number;
  /** Bytes of one sample of all channels. */
  readonly frameBytes: number;
  readonly warnings: readonly string[];
}

const TAG_INTEGER = 1;
const TAG_FLOAT = 3;
const TAG_EXTENSIBLE = 0xfffe;

/** What a file of another kind holds, for the message (RFC 2361). */
const OTHER_TAGS: Readonly<Record<number, string>> = {
  2: 'ADPCM',
  6: 'A-law',
  7: 'mu-law',
  17: 'IMA ADPCM',
  85: 'MP3 in a WAV file',
};

/** Bytes 2 to 15 of the sub-format of WAVE_FORMAT_EXTENSIBLE; the first two are the tag. */
const SUB_FORMAT_TAIL = '000000001000800000aa00389b71';

/** Size of the fmt chunk from which the sub-format can be read. */
const EXTENSIBLE_BYTES = 40;

/** A size field that says "see elsewhere" or "not known when this was written". */
const UNKNOWN_SIZE = 0xffff_ffff;

/** A file with more chunks than this before its samples is not audio. */
const MAX_CHUNKS = 10_000;

/**
 * Finds the samples.
 *
 * @throws {UserError} `BAD_AUDIO`: not a WAV file, a format that is not plain samples, impossible
 * values, or no samples.
 */
export function wavLayout(source: ByteSource, where: string): WavLayout {
  const refuse: Refuse = problem => {
    throw badAudio({ where, ...problem });
  };
  requireRiff(source, refuse);
  let format: FormatChunk | undefined;
  let longData: number | undefined;
  let offset = 12;
  for (let count = 0; count < MAX_CHUNKS && offset + 8 <= source.size; count++) {
    const head = source.read(offset, 8);
    const id = ascii(head, 0, 4);
    const claimed = viewOf(head).getUint32(4, true);
    const body = offset + 8;
    if (id === 'fmt ') format = readFormat(source.read(body, Math.min(claimed, 64)), refuse);
    if (id === 'ds64') longData = readLongDataSize(source.read(body, Math.min(claimed, 64)));
    if (id === 'data') {
      if (format === undefined) {
        return refuse({
          found: 'samples before any fmt chunk',
          allowed: 'a fmt chunk that says how the samples are stored',
          fix: CONVERT_FIX,
        });
      }
      const size = claimed === UNKNOWN_SIZE ? (longData ?? claimed) : claimed;
      return dataLayout(
        format,
        { offset: body, claimed: size, available: source.size - body },
        refuse,
      );
    }
    // Chunks of odd size are followed by one byte that belongs to none.
    offset = body + claimed + (claimed % 2);
  }
  return refuse({
    found: format === undefined ? 'a RIFF file without fmt and data chunks' : 'no data chunk',
    allowed: 'a WAV file with samples',
    fix: 'The file may be cut off: copy or export it again.',
  });
}

type Refuse = (problem: Omit<AudioProblem, 'where'>) => never;

interface FormatChunk {
  readonly format: SampleFormat;
  readonly channels: number;
  readonly sampleRateHz: number;
  readonly frameBytes: number;
}

function requireRiff(source: ByteSource, refuse: Refuse): void {
  const head = source.read(0, 12);
  const [outer, inner] = [ascii(head, 0, 4), ascii(head, 8, 12)];
  if (['RIFF', 'RF64', 'BW64'].includes(outer) && inner === 'WAVE') return;
  refuse({
    found: outer === 'RIFX' ? 'a big-endian RIFX file' : 'no RIFF WAVE header at its start',
    allowed: 'a WAV file: RIFF, RF64 or BW64',
    fix: CONVERT_FIX,
  });
}

function readFormat(chunk: Uint8Array, refuse: Refuse): FormatChunk {
  if (chunk.length < 16) {
    refuse({
      found: `a fmt chunk of ${chunk.length} bytes`,
      allowed: 'at least 16 bytes',
      fix: 'The file is damaged: copy or export it again.',
    });
  }
  const view = viewOf(chunk);
  const channels = view.getUint16(2, true);
  const sampleRateHz = view.getUint32(4, true);
  const frameBytes = view.getUint16(12, true);
  const bits = view.getUint16(14, true);
  const tag = readTag(chunk, refuse);
  if (channels < 1 || channels > MAX_AUDIO_CHANNELS) {
    refuse({
      found: `${channels} channels`,
      allowed: `1 to ${MAX_AUDIO_CHANNELS} channels`,
      fix: CONVERT_FIX,
    });
  }
  if (sampleRateHz < AUDIO_RATES_HZ.min || sampleRateHz > AUDIO_RATES_HZ.max) {
    refuse({
      found: `a sample rate of ${sampleRateHz} Hz`,
      allowed: `${AUDIO_RATES_HZ.min} to ${AUDIO_RATES_HZ.max} Hz`,
      fix: CONVERT_FIX,
    });
  }
  const encoding = tag === TAG_FLOAT ? 'float' : 'integer';
  // A 12- or 20-bit sample fills the upper bits of the next whole number of bytes.
  const stored = 8 * Math.ceil(bits / 8);
  if (!isSampleFormat(encoding, stored) || frameBytes !== (channels * stored) / 8) {
    refuse({
      found: `${bits}-bit ${encoding} samples of ${channels} channels in ${frameBytes} bytes`,
      allowed: '8-, 16-, 24-, 32-bit integer or 32-, 64-bit float samples',
      fix: CONVERT_FIX,
    });
  }
  return {
    format: { encoding, bits: stored as SampleFormat['bits'] },
    channels,
    sampleRateHz,
    frameBytes,
  };
}

/** 1 or 3, from the sub-format where the chunk is an extensible one. */
function readTag(chunk: Uint8Array, refuse: Refuse): number {
  const view = viewOf(chunk);
  let tag = view.getUint16(0, true);
  if (tag === TAG_EXTENSIBLE && chunk.length >= EXTENSIBLE_BYTES) {
    const tail = Array.from(chunk.subarray(26, EXTENSIBLE_BYTES), hexadecimal).join('');
    if (tail === SUB_FORMAT_TAIL) tag = view.getUint16(24, true);
  }
  if (tag !== TAG_INTEGER && tag !== TAG_FLOAT) {
    refuse({
      found: `${OTHER_TAGS[tag] ?? 'an unknown encoding'} (format tag ${tag})`,
      allowed: 'plain PCM or float samples',
      fix: CONVERT_FIX,
    });
  }
  return tag;
}

function dataLayout(
  chunk: FormatChunk,
  data: { readonly offset: number; readonly claimed: number; readonly available: number },
  refuse: Refuse,
): WavLayout {
  const bytes = Math.min(data.claimed, data.available);
  const frames = Math.floor(bytes / chunk.frameBytes);
  if (frames === 0) {
    refuse({
      found: `no samples (${bytes} bytes of data)`,
      allowed: 'at least one sample',
      fix: 'The recording or export failed: make the file again.',
    });
  }
  const warnings: string[] = [];
  if (data.claimed > data.available) {
    warnings.push(
      `The header claims ${data.claimed} bytes of samples, the file holds ${data.available}: only those are read.`,
    );
  }
  return { ...chunk, dataOffset: data.offset, frames, warnings };
}

/** The 64-bit size of the data chunk in RF64 and BW64 files. */
function readLongDataSize(chunk: Uint8Array): number | undefined {
  return chunk.length < 16 ? undefined : Number(viewOf(chunk).getBigUint64(8, true));
}

const ascii = (bytes: Uint8Array, from: number, to: number): string =>
  String.fromCharCode(...bytes.subarray(from, to));

const hexadecimal = (byte: number): string => byte.toString(16).padStart(2, '0');

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
