/** CUE sheets against the numbers of the Red Book. */
import { describe, expect, test } from 'vitest';
import {
  BYTES_PER_FRAME,
  formatCueSheet,
  FRAMES_PER_SECOND,
  parseCueSheet,
  SAMPLES_PER_FRAME,
} from '../../src/formats/cue-sheet.js';

const SHEET = {
  title: 'Scanner sounds (K7F3-9)',
  file: 'disc-1.wav',
  tracks: [
    { title: 'Set the volume', pauseFrame: 0, startFrame: 0 },
    { title: 'Step 1 of 2', pauseFrame: 30 * 75, startFrame: 40 * 75 },
    { title: 'Step 2 of 2', pauseFrame: 60 * 75 + 74, startFrame: 70 * 75 + 74 },
  ],
};

test('a frame is what the Red Book (IEC 60908) says', () => {
  // 44 100 Hz, 16 bits, two channels; 75 frames a second of 588 samples and 2352 bytes.
  expect(SAMPLES_PER_FRAME).toBe(588);
  expect(BYTES_PER_FRAME).toBe(2352);
  expect(SAMPLES_PER_FRAME * FRAMES_PER_SECOND).toBe(44_100);
  expect(BYTES_PER_FRAME * FRAMES_PER_SECOND).toBe(176_400);
});

test('a sheet names the image and each track, with its pause and its start', () => {
  expect(formatCueSheet(SHEET)).toBe(
    [
      'TITLE "Scanner sounds (K7F3-9)"',
      'FILE "disc-1.wav" WAVE',
      '  TRACK 01 AUDIO',
      '    TITLE "Set the volume"',
      '    INDEX 01 00:00:00',
      '  TRACK 02 AUDIO',
      '    TITLE "Step 1 of 2"',
      '    INDEX 00 00:30:00',
      '    INDEX 01 00:40:00',
      '  TRACK 03 AUDIO',
      '    TITLE "Step 2 of 2"',
      '    INDEX 00 01:00:74',
      '    INDEX 01 01:10:74',
      '',
    ].join('\r\n'),
  );
});

test('is read back', () => {
  expect(parseCueSheet(formatCueSheet(SHEET))).toEqual(SHEET);
});

test('a title cannot break out of its quotes or its line, and is at most 79 characters long', () => {
  const title = `a "b"\r\nINDEX 01 00:00:00\u2028${'x'.repeat(100)}`;
  const text = formatCueSheet({ ...SHEET, title });
  expect(text.split('\r\n')[0]).toBe(
    `TITLE "${`a 'b' INDEX 01 00:00:00 ${'x'.repeat(100)}`.slice(0, 79)}"`,
  );
  expect(parseCueSheet(text).tracks).toEqual(SHEET.tracks);
});

test.each([
  ['no tracks', []],
  ['100 tracks', Array.from({ length: 100 }, (_, i) => ({ pauseFrame: i, startFrame: i }))],
  [
    'tracks that go back',
    [
      { pauseFrame: 0, startFrame: 500 },
      { pauseFrame: 400, startFrame: 900 },
    ],
  ],
])('%s make no sheet', (_what, tracks) => {
  const titled = tracks.map(track => ({ title: 'x', ...track }));
  expect(() => formatCueSheet({ ...SHEET, tracks: titled })).toThrow(RangeError);
});

describe('reading refuses', () => {
  const text = formatCueSheet(SHEET);
  test.each([
    ['75 frames', text.replace('00:40:00', '00:40:75')],
    ['60 seconds', text.replace('00:40:00', '00:60:00')],
    ['a missing track number', text.replace('TRACK 02', 'TRACK 03')],
    ['a data track', text.replace('02 AUDIO', '02 MODE1/2352')],
    ['a second file', text.replace('  TRACK 03', 'FILE "x.wav" WAVE\r\n  TRACK 03')],
    ['a track without start', text.replace('    INDEX 01 00:40:00\r\n', '')],
    ['what is no sheet', '<html>'],
    ['nothing', ''],
  ])('%s', (_what, spoiled) => {
    expect(() => parseCueSheet(spoiled)).toThrow(RangeError);
  });
});
