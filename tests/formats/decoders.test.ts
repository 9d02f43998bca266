/** MP3 and FLAC files made by ffmpeg, decoded and compared with what went in; and damaged ones. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { bytesSource, collectAudio } from '../../src/formats/audio-stream.js';
import { isFlac, openFlac } from '../../src/formats/flac-decoder.js';
import { decodeMp3, firstMp3Frame, openMp3 } from '../../src/formats/mp3-decoder.js';
import { seededRandom } from '../../src/signal/random.js';
import { temporaryFolder } from '../helpers/cli.js';
import { describeWithFfmpeg } from '../helpers/describe-with-ffmpeg.js';
import { refusal, refusalOf } from '../helpers/refusal.js';
import { faded, largestDifference, sine } from '../helpers/signals.js';
import { floatWav } from '../helpers/wav-bytes.js';

const folder = await temporaryFolder();
let files = 0;

const RATE_HZ = 44_100;
const left = faded(sine(440, 2, RATE_HZ, { peak: 0.5 }), 0.05, RATE_HZ);
const right = left.map(x => x / 4);

describeWithFfmpeg('FLAC', ({ ffmpeg }) => {
  const encode = (channels: Float64Array[], rateHz: number, args: string[]): Uint8Array =>
    new Uint8Array(ffmpeg(floatWav(channels, rateHz), [...args, '-f', 'flac', 'pipe:1']).stdout);
  // Written to a file, so that the header has the length; a pipe leaves it open.
  const stereo = encode([left, right], RATE_HZ, ['-sample_fmt', 's16']);

  test('16-bit stereo comes back to the last bit', async () => {
    const audio = openFlac(bytesSource(stereo), 'x.flac');
    expect(audio).toMatchObject({
      format: 'flac',
      sampleRateHz: RATE_HZ,
      channels: 2,
      warnings: [],
    });
    const channels = await collectAudio(audio);
    expect(largestDifference(channels[0]!, left)).toBeLessThanOrEqual(1.01 / 32_768);
    expect(largestDifference(channels[1]!, right)).toBeLessThanOrEqual(1.01 / 32_768);
    // A second reading starts anew.
    expect(await collectAudio(audio)).toEqual(channels);
  });

  test.each([
    [8_000, 1],
    [96_000, 1],
    [192_000, 8],
  ])('24 bits at %d Hz with %d channels', async (rateHz, count) => {
    const tone = sine(440, 0.2, rateHz, { peak: 0.5 });
    const channels = Array.from({ length: count }, (_, i) => tone.map(x => x / (i + 1)));
    const bytes = encode(channels, rateHz, ['-sample_fmt', 's32']);
    const audio = openFlac(bytesSource(bytes), 'x.flac');
    expect(audio).toMatchObject({ sampleRateHz: rateHz, channels: count });
    const read = await collectAudio(audio);
    expect(read).toHaveLength(count);
    channels.forEach((samples, channel) => {
      expect(largestDifference(read[channel]!, samples)).toBeLessThan(2 ** -22);
    });
  });

  /** The header's number of samples, 36 bits that end at byte 26. */
  const withLength = (bytes: Uint8Array, length: number): Uint8Array => {
    const changed = bytes.slice();
    new DataView(changed.buffer).setUint32(22, length);
    return changed;
  };

  test('fewer samples than the header announces are refused, so that nothing is measured in part', async () => {
    const announced = withLength(stereo, left.length);
    expect((await collectAudio(openFlac(bytesSource(announced), 'x')))[0]).toHaveLength(
      left.length,
    );
    const cut = announced.slice(0, Math.round(announced.length / 2));
    const error = await refusalOf(collectAudio(openFlac(bytesSource(cut), 'x.flac')));
    expect(error.code).toBe('BAD_AUDIO');
    expect(error.problems[0]).toMatchObject({
      where: 'x.flac',
      allowed: `the ${left.length} samples its header announces`,
    });
  });

  test('damaged frames are refused', async () => {
    const random = seededRandom('damage');
    const broken = withLength(stereo, left.length);
    for (let i = 0; i < 400; i++) broken[20_000 + i] = Math.floor(256 * random.uniform());
    const error = await refusalOf(collectAudio(openFlac(bytesSource(broken), 'x.flac')));
    expect(error.code).toBe('BAD_AUDIO');
  });

  test('headers without stream information, or with an impossible rate, are refused', () => {
    expect(isFlac(bytesSource(stereo))).toBe(true);
    const short = bytesSource(stereo.slice(0, 20));
    expect(refusal(() => openFlac(short, 'x')).problems[0]!.found).toContain(
      'without stream information',
    );
    const other = stereo.slice();
    other[4] = 0x81;
    expect(refusal(() => openFlac(bytesSource(other), 'x')).code).toBe('BAD_AUDIO');
    const slow = stereo.slice();
    slow.fill(0, 18, 20);
    expect(refusal(() => openFlac(bytesSource(slow), 'x')).problems[0]!.found).toContain(
      'sample rate',
    );
  });
});

describeWithFfmpeg('MP3', ({ ffmpeg, decodeWithFfmpeg }) => {
  // To a file, since only there the encoder can come back and write how long its delay is.
  const encode = (channels: Float64Array[], rateHz: number, args: string[] = []): Uint8Array => {
    const file = path.join(folder, `${(files += 1)}.mp3`);
    ffmpeg(floatWav(channels, rateHz), ['-b:a', '128k', ...args, '-f', 'mp3', file]);
    return new Uint8Array(readFileSync(file));
  };
  const stereo = encode([left, right], RATE_HZ);

  test('comes back as long as it went in, and as another decoder decodes it', async () => {
    const mono = encode([left], RATE_HZ);
    const { sampleRateHz, channels } = await decodeMp3(mono);
    expect(sampleRateHz).toBe(RATE_HZ);
    expect(channels.map(samples => samples.length)).toEqual([left.length]);
    const theirs = decodeWithFfmpeg(mono);
    expect(theirs).toHaveLength(left.length);
    // ffmpeg's decoder rounds to 16 bits here.
    expect(largestDifference(channels[0]!, theirs)).toBeLessThan(2 / 32_768);
  });

  test('stereo comes back as two channels', async () => {
    const { channels } = await decodeMp3(stereo);
    expect(channels.map(samples => samples.length)).toEqual([left.length, left.length]);
    const rms = (samples: Float64Array): number =>
      Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
    expect(rms(channels[0]!) / rms(channels[1]!)).toBeCloseTo(4, 1);
  });

  test.each([
    [16_000, 1],
    [22_050, 1],
    [32_000, 2],
    [48_000, 2],
  ])('%d Hz with %d channels', async (rateHz, count) => {
    const tone = sine(440, 1, rateHz, { peak: 0.5 });
    const bytes = encode(new Array<Float64Array>(count).fill(tone), rateHz, ['-b:a', '64k']);
    const audio = openMp3(bytesSource(bytes), 'x.mp3');
    expect(audio).toMatchObject({ format: 'mp3', sampleRateHz: rateHz, channels: count });
    const channels = await collectAudio(audio);
    expect(channels).toHaveLength(count);
    expect(Math.max(...channels[0]!.subarray(4000, 8000))).toBeCloseTo(0.5, 1);
  });

  test('tags before and after are no audio', async () => {
    const tagged = encode([left], RATE_HZ, [
      '-metadata',
      `title=${'x'.repeat(300)}`,
      '-id3v2_version',
      '3',
    ]);
    expect(String.fromCharCode(...tagged.subarray(0, 3))).toBe('ID3');
    const { channels } = await decodeMp3(tagged);
    expect(channels[0]).toHaveLength(left.length);
  });

  test('damaged data is refused, with its place', async () => {
    const random = seededRandom('damage');
    const broken = stereo.slice();
    for (let i = 5000; i < 9000; i++) broken[i] = Math.floor(256 * random.uniform());
    const error = await refusalOf(decodeMp3(broken, 'x.mp3'));
    expect(error.code).toBe('BAD_AUDIO');
    expect(error.problems[0]!.found).toContain('damaged MP3 data');
  });
});

describe('what is no MP3', () => {
  test.each([
    ['no bytes', new Uint8Array(0)],
    ['text', new TextEncoder().encode('not audio '.repeat(1000))],
    ['zeros', new Uint8Array(5000)],
    ['a lone frame header', Uint8Array.of(0xff, 0xfb, 0x90, 0x00, ...new Uint8Array(2000))],
    ['a tag without frames', Uint8Array.of(0x49, 0x44, 0x33, 4, 0, 0, 0, 0, 0, 0)],
  ])('%s', (_, bytes) => {
    expect(firstMp3Frame(bytesSource(bytes))).toBeUndefined();
    expect(refusal(() => openMp3(bytesSource(bytes), 'x.mp3')).problems[0]!.found).toBe(
      'no MP3 frame',
    );
  });
});
