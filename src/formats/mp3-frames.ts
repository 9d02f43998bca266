/**
 * Headers of MPEG audio layer III frames.
 *
 * Source: ISO/IEC 11172-3:1993, 2.4.1.3 and 2.4.2.3 (MPEG-1), ISO/IEC 13818-3:1998, 2.4.2.3 (its
 * lower sample rates).
 *
 * @module
 */

/** What the header of a frame says. */
export interface Mp3FrameHeader {
  readonly sampleRateHz: number;
  readonly bitrateKbps: number;
  readonly channels: 1 | 2;
  /** Samples per channel. */
  readonly samples: number;
  /** Bytes of the frame, header included. */
  readonly bytes: number;
  /** Bytes of the side information that follows the header. */
  readonly sideInfoBytes: number;
}

/** Layer III bit rates in kbit/s by index; index 0 is "free" and 15 is forbidden. */
const BITRATES_KBPS = {
  mpeg1: [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320],
  mpeg2: [0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160],
} as const;

/** MPEG-1 sample rates in Hz by index; MPEG-2 has half of them. */
const SAMPLE_RATES_HZ = [44_100, 48_000, 32_000] as const;

/** The header of the frame at `offset`, or undefined when no layer III frame starts there. */
export function readMp3Header(bytes: Uint8Array, offset: number): Mp3FrameHeader | undefined {
  const [sync, version, rates, mode] = bytes.subarray(offset, offset + 4);
  if (sync !== 0xff || mode === undefined) return undefined;
  // 1111 101x is MPEG-1 layer III, 1111 001x is MPEG-2 layer III.
  const kind = version! & 0xfe;
  if (kind !== 0xfa && kind !== 0xf2) return undefined;
  const isMpeg1 = kind === 0xfa;
  const bitrateKbps = BITRATES_KBPS[isMpeg1 ? 'mpeg1' : 'mpeg2'][rates! >> 4];
  const fullRateHz = SAMPLE_RATES_HZ[(rates! >> 2) & 3];
  if (bitrateKbps === undefined || bitrateKbps === 0 || fullRateHz === undefined) return undefined;
  const sampleRateHz = isMpeg1 ? fullRateHz : fullRateHz / 2;
  const channels = mode >> 6 === 3 ? 1 : 2;
  const samples = isMpeg1 ? 1152 : 576;
  const padding = (rates! >> 1) & 1;
  return {
    sampleRateHz,
    bitrateKbps,
    channels,
    samples,
    bytes: Math.floor(((samples / 8) * bitrateKbps * 1000) / sampleRateHz) + padding,
    sideInfoBytes: isMpeg1 ? (channels === 1 ? 17 : 32) : channels === 1 ? 9 : 17,
  };
}

/**
 * Number of frames in a stream that holds nothing but frames.
 *
 * @throws {RangeError} The stream is not that.
 */
export function countMp3Frames(stream: Uint8Array): number {
  let count = 0;
  for (let offset = 0; offset < stream.length; count++) {
    const header = readMp3Header(stream, offset);
    if (header === undefined) throw new RangeError(`no MP3 frame starts at byte ${offset}`);
    offset += header.bytes;
  }
  return count;
}
