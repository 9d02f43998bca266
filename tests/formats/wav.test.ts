/**
 * Reading and writing WAV files: against files of `wavefile` (a general-purpose library) and ffmpeg, and
 * files that are wrong in every way we could think of.
 */
import fc from 'fast-check';
import { WaveFile } from 'wavefile';
import { describe, expect, test } from 'vitest';
import { bytesSource, collectAudio } from '../../src/formats/audio-stream.js';
import { joinBytes } from '../../src/formats/join-bytes.js';
import { wavBytes as writtenWav, WavEncoder } from '../../src/formats/wav-writer.js';
import { openWav, readWav } from '../../src/formats/wav.js';
import { seededRandom } from '../../src/signal/random.js';
import { soundOf } from '../../src/signal/sound.js';
import { describeWithFfmpeg } from '../helpers/describe-with-ffmpeg.js';
import { refusal } from '../helpers/refusal.js';
import { largestDifference, sine } from '../helpers/signals.js';
import { floatWav, integerBytes, wavBytes, type WavParts } from '../helpers/wav-bytes.js';

const four = integerBytes([100, -200, 300, -400], 16);

const codesOf = (bytes: Uint8Array): number[] =>
  [...readWav(bytes).channels[0]!].map(x => Math.round(x * 32_768));

describe('files of another writer', () => {
  test.each(['8', '16', '24', '32', '32f', '64'])('%s bits, three channels', depth => {
    const random = seededRandom(depth);
    const isFloat = depth === '32f' || depth === '64';
    const full = isFloat ? 1 : 2 ** (Number(depth) - 1);
    // 8-bit samples are unsigned.
    const zero = depth === '8' ? 128 : 0;
    const channels = Array.from({ length: 3 }, () =>
      Array.from({ length: 500 }, () => {
        const value = 2 * random.uniform() - 1;
        return isFloat ? value : Math.round(value * (full - 1)) + zero;
      }),
    );
    const file = new WaveFile();
    file.fromScratch(3, 48_000, depth, channels);
    const read = readWav(file.toBuffer());
    expect(read.sampleRateHz).toBe(48_000);
    expect(read.channels).toHaveLength(3);
    channels.forEach((codes, channel) => {
      codes.forEach((code, i) => {
        // 32 bits come back to 24.
        expect(Math.abs(read.channels[channel]![i]! - (code - zero) / full)).toBeLessThan(2 ** -24);
      });
    });
  });
});

describeWithFfmpeg('files of ffmpeg', ({ ffmpeg }) => {
  const tone = sine(440, 0.25, 44_100, { peak: 0.5 });
  const input = floatWav([tone, tone.map(x => -x)], 44_100);

  test.each([
    ['pcm_u8', 2 ** -7],
    ['pcm_s16le', 2 ** -15],
    // The samples come back as they went in, within one step; ffmpeg's header for 24 bits is extensible.
    ['pcm_s24le', 2 ** -23],
    ['pcm_s32le', 2 ** -23],
    ['pcm_f32le', 2 ** -23],
    ['pcm_f64le', 2 ** -23],
  ])('%s', (codec, step) => {
    const file = ffmpeg(input, ['-c:a', codec, '-f', 'wav', 'pipe:1']).stdout;
    const { channels, sampleRateHz, warnings } = readWav(new Uint8Array(file));
    expect(sampleRateHz).toBe(44_100);
    expect(channels.map(channel => channel.length)).toEqual([tone.length, tone.length]);
    tone.forEach((x, i) => {
      expect(Math.abs(channels[0]![i]! - x)).toBeLessThanOrEqual(1.01 * step);
      expect(Math.abs(channels[1]![i]! + x)).toBeLessThanOrEqual(1.01 * step);
    });
    // Written to a pipe, the header cannot know the size and says so.
    expect(warnings[0]).toContain('4294967295');
  });

  test('our files come out of ffmpeg as they went in', () => {
    for (const bits of [16, 24, 32] as const) {
      const file = joinBytes([...writtenWav(soundOf(tone), { seed: 's', bits, channels: 2 })]);
      const { stdout } = ffmpeg(file, ['-f', 'f64le', 'pipe:1']);
      const samples = new Float64Array(Uint8Array.from(stdout).buffer);
      expect(samples).toHaveLength(2 * tone.length);
      const step = bits === 32 ? 2 ** -23 : 2 ** (1 - bits);
      tone.forEach((x, i) => {
        // Half a step of rounding, one of dither, and 32767 against 32768.
        expect(Math.abs(samples[2 * i]! - x)).toBeLessThanOrEqual(2.6 * step);
        expect(samples[2 * i + 1]).toBe(samples[2 * i]);
      });
    }
  });
});

describe('chunks', () => {
  test('any chunks before the samples, of odd size too, are passed over', () => {
    const before = [
      ['LIST', Uint8Array.of(1, 2, 3)],
      ['fact', new Uint8Array(4)],
      ['id3 ', new Uint8Array(101)],
    ] as const;
    expect(codesOf(wavBytes({ data: four, before }))).toEqual([100, -200, 300, -400]);
  });

  test('chunks after the samples are no samples', () => {
    const tail = new Uint8Array(50).fill(7);
    expect(codesOf(joinBytes([wavBytes({ data: four }), tail]))).toEqual([100, -200, 300, -400]);
  });

  test('RF64: the 64-bit size counts', () => {
    const ds64 = new Uint8Array(28);
    new DataView(ds64.buffer).setBigUint64(8, 8n, true);
    const file = wavBytes({
      data: integerBytes([100, -200, 300, -400, 999, 999], 16),
      claimedBytes: 0xffff_ffff,
      outer: 'RF64',
      before: [['ds64', ds64]],
    });
    expect(codesOf(file)).toEqual([100, -200, 300, -400]);
  });

  test('a last frame that is cut off is left out', () => {
    const file = wavBytes({ data: Uint8Array.of(1, 0, 2, 0, 3), channels: 2 });
    expect(readWav(file).channels[0]).toHaveLength(1);
  });

  test('samples of 20 bits in 3 bytes are read as 24', () => {
    const file = wavBytes({ data: integerBytes([1 << 20], 24), bits: 20, frameBytes: 3 });
    expect(readWav(file).channels[0]![0]).toBe(2 ** 20 / 2 ** 23);
  });
});

describe('a long file is read in blocks', () => {
  test('that hold the same samples', async () => {
    const samples = Float64Array.from({ length: 50_001 }, (_, i) => Math.fround(Math.sin(i)));
    const audio = openWav(bytesSource(floatWav([samples, samples.map(x => x / 2)], 44_100)), 'x');
    const blocks: number[] = [];
    for await (const block of audio.blocks()) blocks.push(block[0]!.length);
    expect(blocks.length).toBeGreaterThan(2);
    const [left, right] = await collectAudio(audio);
    expect(largestDifference(left!, samples)).toBe(0);
    expect(
      largestDifference(
        right!,
        samples.map(x => x / 2),
      ),
    ).toBe(0);
  });
});

describe('what is wrong is said in words', () => {
  const found = (bytes: Uint8Array): string =>
    refusal(() => readWav(bytes, 'x.wav')).problems[0]!.found;

  test.each<[string, WavParts, string]>([
    ['no channels', { data: four, channels: 0, frameBytes: 2 }, '0 channels'],
    ['too many channels', { data: four, channels: 65 }, '65 channels'],
    ['a sample rate of 0', { data: four, sampleRateHz: 0 }, 'a sample rate of 0 Hz'],
    ['a sample rate of 10^9', { data: four, sampleRateHz: 1e9 }, 'a sample rate of 1000000000 Hz'],
    ['ADPCM', { data: four, tag: 17 }, 'IMA ADPCM (format tag 17)'],
    ['MP3', { data: four, tag: 85 }, 'MP3 in a WAV file (format tag 85)'],
    ['a new tag', { data: four, tag: 999 }, 'an unknown encoding (format tag 999)'],
    ['0 bits', { data: four, bits: 0 }, '0-bit integer samples'],
    ['64-bit integers', { data: four, bits: 64 }, '64-bit integer samples'],
    ['16-bit floats', { data: four, bits: 16, tag: 3 }, '16-bit float samples'],
    [
      'frames of another size',
      { data: four, frameBytes: 3 },
      '16-bit integer samples of 1 channels in 3 bytes',
    ],
    ['no samples', { data: new Uint8Array(0) }, 'no samples (0 bytes of data)'],
    ['less than a frame', { data: new Uint8Array(1) }, 'no samples (1 bytes of data)'],
    ['big-endian', { data: four, outer: 'RIFX' }, 'a big-endian RIFX file'],
  ])('%s', (_, parts, expected) => {
    expect(found(wavBytes(parts))).toContain(expected);
  });

  test.each([
    ['no bytes', new Uint8Array(0), 'no RIFF WAVE header'],
    ['text', new TextEncoder().encode('This is not audio.'), 'no RIFF WAVE header'],
    [
      'a header without chunks',
      wavBytes({ data: four }).slice(0, 12),
      'without fmt and data chunks',
    ],
    [
      'a header cut in the fmt chunk',
      wavBytes({ data: four }).slice(0, 25),
      'a fmt chunk of 5 bytes',
    ],
    ['a header without data', wavBytes({ data: four }).slice(0, 36), 'no data chunk'],
  ])('%s', (_, bytes, expected) => {
    expect(found(bytes)).toContain(expected);
  });

  test('samples before the format', () => {
    const file = wavBytes({ data: four });
    const swapped = joinBytes([file.slice(0, 12), file.slice(36), file.slice(12, 36)]);
    expect(found(swapped)).toBe('samples before any fmt chunk');
  });

  test('a header that claims 4 GiB in a file of 10 kB is read for what is there, at once', () => {
    const data = new Uint8Array(10_000).fill(1);
    const file = wavBytes({ data, claimedBytes: 0xffff_fffe });
    const { channels, warnings } = readWav(file);
    expect(channels[0]).toHaveLength(5000);
    expect(warnings).toEqual([
      'The header claims 4294967294 bytes of samples, the file holds 10000: only those are read.',
    ]);
  });

  test('any bytes at all give samples or a refusal, never another error', () => {
    const file = wavBytes({ data: four, before: [['LIST', new Uint8Array(3)]] });
    const edits = fc.array(fc.tuple(fc.nat(file.length - 1), fc.integer({ min: 0, max: 255 })), {
      minLength: 1,
      maxLength: 6,
    });
    fc.assert(
      fc.property(edits, fc.nat(file.length), (changes, length) => {
        const broken = file.slice(0, length);
        for (const [at, byte] of changes) if (at < length) broken[at] = byte;
        try {
          return readWav(broken).channels.length > 0;
        } catch (error) {
          return (error as Error).name === 'UserError';
        }
      }),
      { numRuns: 2000, seed: 1 },
    );
  });
});

describe('the writer', () => {
  const written = (samples: Float64Array, seed = 'a', bits: 16 | 24 | 32 = 16): Uint8Array =>
    joinBytes([...writtenWav(soundOf(samples), { seed, bits })]);

  test('positive and negative full scale both exist, and match', () => {
    const { channels } = readWav(written(Float64Array.of(1, -1), 'a', 24));
    expect(channels[0]![0]).toBeCloseTo(1, 6);
    expect(channels[0]![1]).toBe(-channels[0]![0]!);
  });

  test('the same sound and seed give the same bytes, however it is cut into blocks', () => {
    const samples = sine(440, 0.1, 44_100, { peak: 0.3 });
    const whole = written(samples);
    expect(written(samples)).toEqual(whole);
    expect(written(samples, 'b')).not.toEqual(whole);
    const encoder = new WavEncoder({
      sampleRateHz: 44_100,
      channels: 1,
      length: samples.length,
      seed: 'a',
    });
    const parts = [encoder.header];
    for (let from = 0; from < samples.length; from += 777) {
      parts.push(encoder.encode([samples.subarray(from, from + 777)]).slice());
    }
    parts.push(encoder.finish());
    expect(joinBytes(parts)).toEqual(whole);
  });

  test('the error of 16 bits is noise of a known size: no harmonic, no offset', () => {
    const length = 65_536;
    // A tone of four steps: without dither its harmonics would stand 20 dB out of the noise.
    const tone = sine(1000, length / 44_100, 44_100, { peak: 4 / 32_767 });
    const read = readWav(written(tone)).channels[0]!;
    const error = read.map((x, i) => x * 32_768 - tone[i]! * 32_767);
    const mean = error.reduce((sum, e) => sum + e, 0) / length;
    const power = error.reduce((sum, e) => sum + e * e, 0) / length;
    // Rounding 1/12 plus triangular dither 1/6 of a step squared.
    expect(power).toBeCloseTo(1 / 4, 2);
    expect(Math.abs(mean)).toBeLessThan(4 * Math.sqrt(0.25 / length));
    for (const harmonic of [1, 2, 3, 5, 7]) {
      let [re, im] = [0, 0];
      error.forEach((e, i) => {
        const angle = (2 * Math.PI * 1000 * harmonic * i) / 44_100;
        re += e * Math.cos(angle);
        im += e * Math.sin(angle);
      });
      // Noise has |sum|^2 = n power on average; ten times that is a chance of e^-10.
      expect(re * re + im * im, `harmonic ${harmonic}`).toBeLessThan(10 * length * power);
    }
  });

  test('true stereo keeps its channels apart, and dithers them apart', () => {
    const encoder = new WavEncoder({ sampleRateHz: 44_100, channels: 2, length: 1000, seed: 'a' });
    const bytes = joinBytes([
      encoder.header,
      encoder.encode([new Float64Array(1000).fill(0.25), new Float64Array(1000).fill(-0.25)]),
      encoder.finish(),
    ]);
    const [left, right] = readWav(bytes).channels;
    expect(left!.every(x => Math.abs(x - 0.25) < 1e-4)).toBe(true);
    expect(right!.every(x => Math.abs(x + 0.25) < 1e-4)).toBe(true);
    expect(left!.map(x => -x)).not.toEqual(right);
  });

  test.each([16, 24, 32] as const)('%d-bit files have the sizes that their header says', bits => {
    const bytes = written(sine(440, 0.01, 44_100), 'a', bits);
    const view = new DataView(bytes.buffer);
    expect(view.getUint32(4, true)).toBe(bytes.length - 8);
    expect(view.getUint32(40, true)).toBe((441 * bits) / 8);
    const file = new WaveFile();
    file.fromBuffer(bytes);
    expect(file.bitDepth).toBe(bits === 32 ? '32f' : String(bits));
  });

  test('samples too many, too few, not finite or too loud are refused', () => {
    const encoder = (length: number): WavEncoder =>
      new WavEncoder({ sampleRateHz: 44_100, channels: 1, length, seed: '' });
    expect(() => encoder(1).encode([new Float64Array(2)])).toThrow(
      'there must be 1 samples, got 2',
    );
    expect(() => encoder(1).finish()).toThrow('there must be 1 samples, got 0');
    expect(() => encoder(1).encode([])).toThrow('block must hold 1 arrays');
    expect(() => encoder(3).encode([Float64Array.of(0, 0, 1.01)])).toThrow('1.01 at sample 2');
  });
});
