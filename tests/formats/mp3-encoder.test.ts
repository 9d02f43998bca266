/** Our MP3 files, as two independent decoders (mpg123 and ffmpeg) read them. */
import { MPEGDecoder } from 'mpg123-decoder';
import { beforeAll, describe, expect, test } from 'vitest';
import { encodeMp3, Mp3Encoder } from '../../src/formats/mp3-encoder.js';
import { countMp3Frames, readMp3Header } from '../../src/formats/mp3-frames.js';
import { crc16, mp3InfoFrame } from '../../src/formats/mp3-info-frame.js';
import { soundOf } from '../../src/signal/sound.js';
import { decodeWithFfmpeg, ffmpeg } from '../helpers/ffmpeg.js';

/** A steady tone comes back within this, in dB: the quantisation of a steady tone is not audible. */
const TONE_TOLERANCE_DB = 0.01;

let encoder: Mp3Encoder;
beforeAll(async () => {
  encoder = await Mp3Encoder.create();
});

/** A tone with an abrupt start after 0.5 s, so that a shift of time shows. */
function tone(sampleRateHz: number, length: number, amplitude: number): Float64Array {
  return Float64Array.from({ length }, (_, i) =>
    i < sampleRateHz / 2 ? 0 : amplitude * Math.sin((2 * Math.PI * 1000 * i) / sampleRateHz),
  );
}

async function decodeWithMpg123(file: Uint8Array): Promise<Float32Array> {
  const decoder = new MPEGDecoder();
  await decoder.ready;
  const { channelData, errors } = decoder.decode(file);
  decoder.free();
  expect(errors).toEqual([]);
  return channelData[0]!;
}

/** Mean square over the middle of a tone, away from both its ends. */
function meanSquare(samples: ArrayLike<number>, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += samples[i]! ** 2;
  return sum / (to - from);
}

const CASES = [
  [44_100, 32],
  [44_100, 40],
  [44_100, 48],
  [44_100, 64],
  [44_100, 96],
  [44_100, 128],
  [32_000, 64],
  [22_050, 64],
] as const;

describe.each(CASES)('%d Hz at %d kbit/s', (sampleRateHz, bitrateKbps) => {
  // A length that fills no whole number of frames.
  const length = 2 * sampleRateHz + 137;

  test('decodes to the exact number of samples, in place, at the same level', async () => {
    const samples = tone(sampleRateHz, length, 0.25);
    const file = encodeMp3(encoder, soundOf(samples, sampleRateHz), bitrateKbps);
    for (const decoded of [await decodeWithMpg123(file), decodeWithFfmpeg(file)]) {
      expect(decoded).toHaveLength(length);
      const [from, to] = [sampleRateHz, 2 * sampleRateHz - 2000];
      const errorDb =
        10 * Math.log10(meanSquare(decoded, from, to) / meanSquare(samples, from, to));
      expect(Math.abs(errorDb)).toBeLessThanOrEqual(TONE_TOLERANCE_DB);
      // The difference to the samples in the same place: 20 dB down rules out a shift of even 2 samples.
      const difference = decoded.map((sample, i) => sample - samples[i]!);
      const residueDb =
        10 * Math.log10(meanSquare(difference, from, to) / meanSquare(samples, from, to));
      expect(residueDb).toBeLessThan(-20);
    }
  });

  test('every frame has the one bit rate, rate and channel', () => {
    const file = encodeMp3(
      encoder,
      soundOf(tone(sampleRateHz, length, 0.25), sampleRateHz),
      bitrateKbps,
    );
    let frames = 1;
    // The information frame may be larger than the others, to hold what it must.
    for (let at = readMp3Header(file, 0)!.bytes; at < file.length; frames++) {
      const header = readMp3Header(file, at)!;
      expect(header).toMatchObject({ sampleRateHz, bitrateKbps, channels: 1 });
      at += header.bytes;
    }
    expect(frames).toBe(countMp3Frames(file));
    expect(frames).toBeGreaterThan(length / 1152);
  });
});

test('quiet tones come back at their level too', async () => {
  const samples = tone(44_100, 88_200, 0.002);
  const decoded = await decodeWithMpg123(encodeMp3(encoder, soundOf(samples), 64));
  const errorDb =
    10 * Math.log10(meanSquare(decoded, 44_100, 80_000) / meanSquare(samples, 44_100, 80_000));
  expect(Math.abs(errorDb)).toBeLessThanOrEqual(TONE_TOLERANCE_DB);
});

test('ffmpeg shows the length and the constant bit rate', () => {
  const file = encodeMp3(encoder, soundOf(tone(44_100, 44_100 * 5, 0.25)), 64);
  const { stderr } = ffmpeg(file, ['-f', 'null', '-']);
  expect(stderr).toContain('mp3, 44100 Hz, mono');
  expect(stderr).toContain('64 kb/s');
  expect(stderr).toMatch(/time=00:00:05\.0/);
});

test('the same samples give the same bytes, in blocks of any size, from a used encoder too', async () => {
  const samples = tone(44_100, 100_000, 0.25);
  const whole = encodeMp3(encoder, soundOf(samples), 64);
  const fresh = await Mp3Encoder.create();
  fresh.start({ sampleRateHz: 44_100, bitrateKbps: 64 });
  for (let i = 0; i < samples.length; i += 777) fresh.push(samples.subarray(i, i + 777));
  expect(Buffer.compare(fresh.finish(), whole)).toBe(0);
  expect(Buffer.compare(encodeMp3(encoder, soundOf(samples), 64), whole)).toBe(0);
});

test.each([[1.0001], [-2], [Number.NaN], [Infinity]])(
  'refuses a sample of %d, naming it',
  sample => {
    encoder.start({ sampleRateHz: 44_100, bitrateKbps: 64 });
    encoder.push(new Float64Array(10));
    expect(() => {
      encoder.push(Float64Array.of(0, sample));
    }).toThrow(new RangeError(`samples must be between -1 and 1, got ${sample} at sample 11`));
  },
);

test('refuses an empty sound', () => {
  encoder.start({ sampleRateHz: 44_100, bitrateKbps: 64 });
  expect(() => encoder.finish()).toThrow('at least one sample');
});

describe('information frame', () => {
  test('CRC-16 gives the check value of its kind', () => {
    // "123456789" -> 0xBB3D for CRC-16/ARC, in the catalogue of parametrised CRC algorithms.
    expect(crc16(new TextEncoder().encode('123456789'))).toBe(0xbb3d);
  });

  test('refuses what is not a stream of frames', () => {
    expect(() => mp3InfoFrame(new Uint8Array(500), 100)).toThrow('no MP3 frame');
    expect(() => countMp3Frames(Uint8Array.of(0xff, 0xfb, 0xf0, 0xc4))).toThrow('byte 0');
  });
});
