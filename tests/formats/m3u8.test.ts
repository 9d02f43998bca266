/** Playlists. */
import { expect, test } from 'vitest';
import { formatM3u8 } from '../../src/formats/m3u8.js';

test('lists files with their length in whole seconds and their title', () => {
  const entries = [
    { path: 'voice-reference.mp3', durationSeconds: 30, title: 'Set the volume' },
    { path: 'steps/step-01.mp3', durationSeconds: 53.6, title: 'Step 1 of 2' },
  ];
  expect(formatM3u8('Kit K7F3-9XMT', entries)).toBe(
    [
      '#EXTM3U',
      '#PLAYLIST:Kit K7F3-9XMT',
      '#EXTINF:30,Set the volume',
      'voice-reference.mp3',
      '#EXTINF:54,Step 1 of 2',
      'steps/step-01.mp3',
      '',
    ].join('\n'),
  );
});

test('a title cannot break out of its line', () => {
  const text = formatM3u8('a\r\nb', [
    { path: 'x.mp3', durationSeconds: 1, title: 'c\nhttp://d\u2028e' },
  ]);
  expect(text).toBe('#EXTM3U\n#PLAYLIST:a b\n#EXTINF:1,c http://d e\nx.mp3\n');
});
