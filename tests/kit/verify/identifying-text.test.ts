/** Marks of a person or a machine in files. */
import { describe, expect, test } from 'vitest';
import { bytesSource } from '../../../src/formats/audio-stream.js';
import { writeId3 } from '../../../src/formats/id3.js';
import { joinBytes } from '../../../src/formats/join-bytes.js';
import { wavBytes } from '../../../src/formats/wav-writer.js';
import { privateMarks } from '../../../src/kit/verify/identifying-text.js';
import { soundOf } from '../../../src/signal/sound.js';

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

const marks = (path: string, bytes: Uint8Array, absent: readonly string[]): readonly string[] =>
  privateMarks(path, bytesSource(bytes), absent);

const TAG = { title: 'Step 1', album: 'Kit', language: 'eng', comment: 'Keep', custom: [] };

describe('text files', () => {
  test.each([
    ['/home/anna/study/kit.json'],
    ['see /Users/anna/kits'],
    ['C:\\Users\\Anna\\kits'],
    ['file:///tmp/x'],
  ])('may not name a place on a disk: %s', text => {
    expect(marks('kit.json', bytesOf(text), []).join()).toContain('a path of the machine');
  });

  test('may name relative paths and addresses', () => {
    const text = '<a href="guide.pdf">mailto:office@example.org</a> steps/step-01.mp3 1/2 hom/e';
    expect(marks('start-here.html', bytesOf(text), [])).toEqual([]);
  });

  test('may not hold words that must be absent, in any case, nor may their names', () => {
    expect(marks('README.txt', bytesOf('Kit of ANNA'), ['anna', 'Berta'])).toEqual([
      'the word "anna"',
    ]);
    expect(marks('anna.txt', bytesOf(''), ['Anna'])).toHaveLength(1);
  });
});

describe('MP3 files', () => {
  const audio = new Uint8Array(500);

  test('may have our own tag', () => {
    const tag = writeId3({
      ...TAG,
      custom: [
        ['KIT', 'K'],
        ['REPLAYGAIN_TRACK_GAIN', '0.00 dB'],
      ],
    });
    expect(marks('a.mp3', joinBytes([tag, audio]), [])).toEqual([]);
  });

  test.each([
    [
      'a foreign entry',
      joinBytes([writeId3({ ...TAG, custom: [['OWNER', 'Anna']] }), audio]),
      'OWNER Anna',
    ],
    [
      'a path',
      joinBytes([writeId3({ ...TAG, comment: '/home/anna/x.wav' }), audio]),
      '/home/anna/x.wav',
    ],
    ['a tag of another version', joinBytes([bytesOf('ID3\u0004'), audio]), 'not ours'],
    ['a tag at the end', joinBytes([audio, bytesOf('TAG'), new Uint8Array(125)]), 'TAG'],
  ])('may not have %s', (_what, file, found) => {
    expect(marks('a.mp3', file, []).join()).toContain(found);
  });

  test('may not have a frame that we never write', () => {
    const tag = writeId3(TAG);
    // TIT2 -> TPE1, the performer.
    tag.set(bytesOf('TPE1'), 10);
    expect(marks('a.mp3', joinBytes([tag, audio]), []).join()).toContain('TPE1');
  });
});

describe('WAV files', () => {
  const wav = joinBytes([...wavBytes(soundOf(new Float64Array(10)), { seed: 'x' })]);

  test('may have format and samples', () => {
    expect(marks('a.wav', wav, [])).toEqual([]);
  });

  test('may not have a list of facts about them', () => {
    const list = joinBytes([wav, bytesOf('LIST'), Uint8Array.of(4, 0, 0, 0), bytesOf('INFO')]);
    expect(marks('a.wav', list, [])).toEqual(['a chunk "LIST"']);
  });
});

describe('PDF files', () => {
  test('may have the fixed date', () => {
    const pdf = '/CreationDate (D:20000101000000Z) <xmp:CreateDate>2000-01-01T00:00:00Z';
    expect(marks('guide.pdf', bytesOf(pdf), [])).toEqual([]);
  });

  test.each([
    ['/CreationDate (D:20270301101500Z)', 'a date of making'],
    ['<xmp:CreateDate>2027-03-01</xmp:CreateDate>', 'a date of making'],
    ['/Author (Anna)', 'an author'],
  ])('may not have %s', (pdf, found) => {
    expect(marks('guide.pdf', bytesOf(pdf), []).join()).toContain(found);
  });
});
