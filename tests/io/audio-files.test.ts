/** Audio files on the disk: told apart by content, read and written safely. */
import { chmod, mkdir, readdir, readFile, stat, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { audioPaths } from '../../src/io/audio-paths.js';
import { measureFile } from '../../src/io/measure-file.js';
import { readAudio } from '../../src/io/read-audio.js';
import { writeWav } from '../../src/io/write-wav.js';
import { soundOf } from '../../src/signal/sound.js';
import { temporaryFolder } from '../helpers/cli.js';
import { describeWithFfmpeg } from '../helpers/describe-with-ffmpeg.js';
import { refusalOf } from '../helpers/refusal.js';
import { sine } from '../helpers/signals.js';
import { floatWav, wavBytes } from '../helpers/wav-bytes.js';

const RATE_HZ = 44_100;
const tone = sine(440, 0.2, RATE_HZ, { peak: 0.5 });
/** FAST of a tone of 0.2 s at half of full scale, at 440 Hz (A-weighting -4.1 dB). */
const LAFMAX_DBFS = 20 * Math.log10(0.5) - 4.1 + 10 * Math.log10(1 - Math.exp(-0.2 / 0.125));

const folder = await temporaryFolder();
const at = (name: string): string => path.join(folder, name);

describe('readAudio', () => {
  test('reads a WAV file under any name, as often as asked', async () => {
    await writeFile(at('tone.mp3'), floatWav([tone], RATE_HZ));
    const audio = await readAudio(at('tone.mp3'));
    expect(audio).toMatchObject({
      format: 'wav',
      sampleRateHz: RATE_HZ,
      channels: 1,
      path: at('tone.mp3'),
    });
    expect(await audio.samples()).toEqual([tone.map(Math.fround)]);
    expect(await audio.samples()).toEqual([tone.map(Math.fround)]);
  });

  test('lets a reader stop early', async () => {
    await writeFile(at('long.wav'), floatWav([new Float64Array(100_000)], RATE_HZ));
    const audio = await readAudio(at('long.wav'));
    let blocks = 0;
    for await (const block of audio.blocks()) {
      blocks += block.length;
      break;
    }
    expect(blocks).toBe(1);
  });

  test.each([
    ['text.wav', 'Not audio at all, but a letter.\n', 'a text file'],
    ['empty.wav', '', 'an empty file'],
    ['ogg.wav', 'OggS\u0000\u0002', 'an Ogg file'],
    ['aiff.wav', 'FORM\u0000\u0000\u0000\u0000AIFF', 'an AIFF file'],
    ['m4a.wav', '\u0000\u0000\u0000\u0018ftypM4A ', 'an MP4 or M4A file'],
    ['zip.wav', 'PK\u0003\u0004', 'a ZIP archive'],
    ['noise.wav', '\u0001\u0002\u0003\u0004\u0005', 'a file of a kind that is not known here'],
  ])('%s is refused as what it is', async (name, content, found) => {
    await writeFile(at(name), content);
    const error = await refusalOf(readAudio(at(name)));
    expect(error.code).toBe('BAD_AUDIO');
    expect(error.exitCode).toBe(2);
    expect(error.problems).toMatchObject([
      { where: at(name), found, allowed: 'WAV, MP3 or FLAC audio' },
    ]);
    expect(error.problems[0]!.fix).toContain('Convert');
  });

  test('a missing file and a folder are refused', async () => {
    expect((await refusalOf(readAudio(at('missing.wav')))).code).toBe('CANNOT_READ');
    expect((await refusalOf(readAudio(folder))).problems[0]!.found).toBe('a folder');
  });
});

describeWithFfmpeg('readAudio with files of ffmpeg', ({ ffmpeg }) => {
  test.each(['mp3', 'flac'] as const)('knows %s by its content', async format => {
    const { stdout } = ffmpeg(floatWav([tone], RATE_HZ), ['-f', format, 'pipe:1']);
    await writeFile(at(`${format}.wav`), stdout);
    const audio = await readAudio(at(`${format}.wav`));
    expect(audio.format).toBe(format);
    const { levels } = await measureFile(at(`${format}.wav`));
    // A pipe leaves the codec's delay in the MP3, and its encoder takes 0.4 dB off.
    expect(Math.abs(levels.lafmaxDbfs - LAFMAX_DBFS)).toBeLessThan(0.6);
  });
});

describe('measureFile', () => {
  test('says what is odd about a file', async () => {
    await writeFile(
      at('clipped.wav'),
      floatWav([tone.map(x => Math.max(-1, Math.min(1, 9 * x)))], RATE_HZ),
    );
    await writeFile(at('offset.wav'), floatWav([tone.map(x => x + 0.1)], RATE_HZ));
    await writeFile(at('silent.wav'), floatWav([new Float64Array(1000)], RATE_HZ));
    await writeFile(at('good.wav'), floatWav([tone], RATE_HZ));
    expect((await measureFile(at('clipped.wav'))).warnings[0]).toContain('may be clipped');
    expect((await measureFile(at('offset.wav'))).warnings[0]).toContain('off zero by 10.0 %');
    expect((await measureFile(at('silent.wav'))).warnings[0]).toContain('silent');
    expect((await measureFile(at('good.wav'))).warnings).toEqual([]);
  });

  test('finds clipping in 8 bits, whose highest code is 127 of 128', async () => {
    const codes = tone.map(x => 128 + Math.max(-128, Math.min(127, Math.round(9 * 128 * x))));
    await writeFile(
      at('eight.wav'),
      wavBytes({ sampleRateHz: RATE_HZ, bits: 8, data: Uint8Array.from(codes) }),
    );
    const { levels, warnings } = await measureFile(at('eight.wav'));
    expect(levels.clippedSamples).toBe(codes.filter(code => code === 255 || code <= 1).length);
    expect(warnings[0]).toContain('may be clipped');
  });

  test.each([[Number.NaN], [Infinity]])(
    'a sample that is %d is refused, with its place',
    async bad => {
      const samples = tone.slice();
      samples[1234] = bad;
      await writeFile(at('bad.wav'), floatWav([samples], RATE_HZ));
      const error = await refusalOf(measureFile(at('bad.wav')));
      expect(error.code).toBe('BAD_AUDIO');
      expect(error.problems[0]!.found).toBe(
        `samples must be finite numbers, got ${bad} at sample 1234 of channel 1`,
      );
    },
  );
});

describe('writeWav', () => {
  test('writes a file that reads back, and leaves nothing else', async () => {
    const place = at('written');
    await mkdir(place);
    await writeWav(path.join(place, 'a.wav'), soundOf(tone), { channels: 2 });
    const audio = await readAudio(path.join(place, 'a.wav'));
    const [left, right] = await audio.samples();
    expect(left).toEqual(right);
    tone.forEach((x, i) => {
      expect(Math.abs(left![i]! - x)).toBeLessThan(3 / 32_768);
    });
    expect(await readdir(place)).toEqual(['a.wav']);
  });

  test('does not replace a file unless told to', async () => {
    await writeFile(at('mine.wav'), 'mine');
    const error = await refusalOf(writeWav(at('mine.wav'), soundOf(tone)));
    expect(error.code).toBe('CANNOT_WRITE');
    expect(await readFile(at('mine.wav'), 'utf8')).toBe('mine');
    await writeWav(at('mine.wav'), soundOf(tone), { overwrite: true });
    expect((await stat(at('mine.wav'))).size).toBe(44 + 2 * tone.length);
  });

  test('a sound that cannot be written leaves nothing behind', async () => {
    const place = at('failed');
    await mkdir(place);
    await expect(
      writeWav(path.join(place, 'a.wav'), soundOf(Float64Array.of(0, 2))),
    ).rejects.toThrow(RangeError);
    expect(await readdir(place)).toEqual([]);
  });

  test('a place that cannot be written is said in words', async () => {
    const missing = await refusalOf(writeWav(at('no-such-folder/a.wav'), soundOf(tone)));
    expect(missing.code).toBe('CANNOT_WRITE');
    expect(missing.problems[0]!.fix).toContain('folder');
  });

  test.skipIf(process.getuid?.() === 0 || process.platform === 'win32')(
    'a folder without permission is refused (skipped for root, who may do anything)',
    async () => {
      const place = at('locked');
      await mkdir(place);
      await chmod(place, 0o500);
      expect((await refusalOf(writeWav(path.join(place, 'a.wav'), soundOf(tone)))).code).toBe(
        'CANNOT_WRITE',
      );
    },
  );
});

describe('audioPaths', () => {
  test('replaces playlists by what they name, beside the playlist', async () => {
    await writeFile(
      at('list.m3u8'),
      '\uFEFF#EXTM3U\r\n#EXTINF:3,One\r\none.mp3\r\n\r\nsub/two.mp3\r\n',
    );
    expect(await audioPaths(['a.wav', at('list.m3u8')])).toEqual([
      'a.wav',
      at('one.mp3'),
      at('sub/two.mp3'),
    ]);
  });

  test('refuses addresses, empty playlists and missing ones', async () => {
    await writeFile(at('web.m3u8'), 'one.mp3\nhttps://example.org/two.mp3\n');
    expect((await refusalOf(audioPaths([at('web.m3u8')]))).problems[0]!.where).toBe(
      `${at('web.m3u8')}:2`,
    );
    await writeFile(at('empty.m3u'), '#EXTM3U\n');
    expect((await refusalOf(audioPaths([at('empty.m3u')]))).problems[0]!.found).toBe('no entries');
    expect((await refusalOf(audioPaths([at('none.m3u8')]))).code).toBe('CANNOT_READ');
  });
});
