/** Tags, as ffmpeg and our own reader see them. */
import { beforeAll, describe, expect, test } from 'vitest';
import { type Id3Tag, readId3, writeId3 } from '../../src/formats/id3.js';
import { joinBytes } from '../../src/formats/join-bytes.js';
import { encodeMp3, Mp3Encoder } from '../../src/formats/mp3-encoder.js';
import { soundOf } from '../../src/signal/sound.js';
import { ffmpeg } from '../helpers/ffmpeg.js';

const TAG: Id3Tag = {
  title: 'Step 3 of 14',
  album: 'Kit K7F3-9XMT',
  track: { number: 3, of: 14 },
  language: 'eng',
  comment: 'Play at the marked volume only.',
  custom: [
    ['REPLAYGAIN_TRACK_GAIN', '0.00 dB'],
    ['KIT', 'K7F3-9XMT'],
  ],
};

let audio: Uint8Array;
beforeAll(async () => {
  audio = encodeMp3(await Mp3Encoder.create(), soundOf(new Float64Array(20_000)), 64);
});

/** Name and value of every tag that ffmpeg finds. */
function tagsByFfmpeg(file: Uint8Array): Record<string, string> {
  const text = ffmpeg(file, ['-f', 'ffmetadata', 'pipe:1']).stdout.toString();
  const lines = text.split('\n').filter(line => line.includes('=') && !line.startsWith(';'));
  return Object.fromEntries(
    lines.map(line => [line.split('=')[0]!, line.slice(line.indexOf('=') + 1)]),
  );
}

describe('a tag', () => {
  test('is read by ffmpeg, each value under its name', () => {
    expect(tagsByFfmpeg(joinBytes([writeId3(TAG), audio]))).toMatchObject({
      title: 'Step 3 of 14',
      album: 'Kit K7F3-9XMT',
      track: '3/14',
      comment: 'Play at the marked volume only.',
      REPLAYGAIN_TRACK_GAIN: '0.00 dB',
      KIT: 'K7F3-9XMT',
    });
  });

  test.each([['Schritt 3: Größe'], ['第三步'], ['الخطوة ٣'], ['Ćma 🌙']])(
    'keeps the title %s',
    title => {
      const bytes = writeId3({ ...TAG, title, comment: title, custom: [[title, title]] });
      expect(tagsByFfmpeg(joinBytes([bytes, audio]))).toMatchObject({ title, [title]: title });
      const { frames } = readId3(joinBytes([bytes, audio]));
      expect(frames.find(({ id }) => id === 'TIT2')!.text).toBe(title);
      expect(frames.find(({ id }) => id === 'COMM')!.text).toBe(title);
      expect(frames.find(({ id }) => id === 'TXXX')).toMatchObject({
        description: title,
        text: title,
      });
    },
  );

  test('is read back whole, and says where the audio starts', () => {
    const bytes = writeId3(TAG);
    const { frames, audioStart } = readId3(joinBytes([bytes, audio]));
    expect(audioStart).toBe(bytes.length);
    expect(frames).toEqual([
      { id: 'TIT2', description: '', text: 'Step 3 of 14' },
      { id: 'TALB', description: '', text: 'Kit K7F3-9XMT' },
      { id: 'TRCK', description: '', text: '3/14' },
      { id: 'TLAN', description: '', text: 'eng' },
      { id: 'COMM', description: '', text: 'Play at the marked volume only.' },
      { id: 'TXXX', description: 'REPLAYGAIN_TRACK_GAIN', text: '0.00 dB' },
      { id: 'TXXX', description: 'KIT', text: 'K7F3-9XMT' },
    ]);
  });

  test('has a size without bytes above 127, however long it is', () => {
    const bytes = writeId3({ ...TAG, comment: 'x'.repeat(300) });
    expect([...bytes.subarray(6, 10)].every(byte => byte < 128)).toBe(true);
    expect(readId3(joinBytes([bytes, audio])).audioStart).toBe(bytes.length);
  });
});

describe('reading', () => {
  test('a file without a tag has no frames', () => {
    expect(readId3(audio)).toEqual({ frames: [], audioStart: 0 });
  });

  test.each([
    ['another version', (b: Uint8Array) => b.fill(4, 3, 4)],
    ['a tag longer than the file', (b: Uint8Array) => b.fill(0x7f, 6, 7)],
    ['a frame longer than the tag', (b: Uint8Array) => b.fill(0x7f, 14, 15)],
  ])('refuses %s', (_what, spoil) => {
    expect(() => readId3(spoil(writeId3(TAG)))).toThrow(RangeError);
  });
});
