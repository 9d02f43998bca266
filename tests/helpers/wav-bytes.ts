/** WAV files made by hand, apart from the project's own writer, right ones and wrong ones. */

export interface WavParts {
  readonly sampleRateHz?: number;
  readonly channels?: number;
  /** Format tag: 1 integer, 3 float, 0xfffe extensible. */
  readonly tag?: number;
  readonly bits?: number;
  /** Bytes of one frame; follows from the others unless given. */
  readonly frameBytes?: number;
  readonly data: Uint8Array;
  /** Size that the data chunk claims; the true one unless given. */
  readonly claimedBytes?: number;
  /** Chunks between fmt and data: id and body. A pad byte is added where RIFF asks for one. */
  readonly before?: readonly (readonly [id: string, body: Uint8Array])[];
  readonly outer?: string;
}

const ascii = (text: string): number[] => Array.from(text, character => character.charCodeAt(0));

const u16 = (value: number): number[] => [value & 0xff, (value >> 8) & 0xff];

const u32 = (value: number): number[] => [...u16(value & 0xffff), ...u16(value >>> 16)];

/** Tail of the sub-format of an extensible header. */
const SUB_FORMAT_TAIL = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];

export function wavBytes(parts: WavParts): Uint8Array {
  const { sampleRateHz = 48_000, channels = 1, tag = 1, bits = 16, data } = parts;
  const frameBytes = parts.frameBytes ?? (channels * bits) / 8;
  const plain = [
    ...u16(tag),
    ...u16(channels),
    ...u32(sampleRateHz),
    ...u32((sampleRateHz * frameBytes) % 2 ** 32),
    ...u16(frameBytes),
    ...u16(bits),
  ];
  const extra =
    tag === 0xfffe
      ? [...u16(22), ...u16(bits), ...u32(0), ...u16(bits === 32 ? 3 : 1), ...SUB_FORMAT_TAIL]
      : [];
  const fmt = [...plain, ...extra];
  const chunks: number[] = [...ascii('fmt '), ...u32(fmt.length), ...fmt];
  for (const [id, body] of parts.before ?? []) {
    chunks.push(...ascii(id), ...u32(body.length), ...body, ...(body.length % 2 === 1 ? [0] : []));
  }
  const claimed = parts.claimedBytes ?? data.length;
  const head = [
    ...ascii(parts.outer ?? 'RIFF'),
    ...u32(Math.min(0xffff_ffff, 4 + chunks.length + 8 + claimed)),
    ...ascii('WAVE'),
    ...chunks,
    ...ascii('data'),
    ...u32(claimed),
  ];
  const bytes = new Uint8Array(head.length + data.length);
  bytes.set(head);
  bytes.set(data, head.length);
  return bytes;
}

/** A file of 32-bit floats, which holds any sample as it is; channels of one length. */
export function floatWav(
  channels: readonly Float64Array[],
  sampleRateHz: number,
  more: Partial<WavParts> = {},
): Uint8Array {
  const length = channels[0]?.length ?? 0;
  const data = new Float32Array(length * channels.length);
  for (let i = 0; i < length; i++) {
    for (let channel = 0; channel < channels.length; channel++) {
      data[i * channels.length + channel] = channels[channel]![i]!;
    }
  }
  const bytes = new Uint8Array(data.buffer);
  return wavBytes({
    sampleRateHz,
    channels: channels.length,
    tag: 3,
    bits: 32,
    data: bytes,
    ...more,
  });
}

/** Integers of 8 (unsigned), 16, 24 or 32 bits as little-endian bytes. */
export function integerBytes(codes: readonly number[], bits: number): Uint8Array {
  const bytes: number[] = [];
  for (const code of codes) {
    const value = bits === 8 ? code + 128 : code;
    for (let shift = 0; shift < bits; shift += 8) bytes.push(Math.floor(value / 2 ** shift) & 0xff);
  }
  return Uint8Array.from(bytes);
}
