/**
 * M3U8 playlists: a list of files in UTF-8 with their lengths and titles.
 *
 * The format is a convention; `#EXTM3U` and `#EXTINF` are as RFC 8216, 4.3.1.1 and 4.3.2.1 describe
 * them, with the length rounded to whole seconds for old players.
 *
 * @module
 */

export interface PlaylistEntry {
  /** Relative to the playlist, forward slashes. */
  readonly path: string;
  readonly durationSeconds: number;
  readonly title: string;
}

/** Text of a playlist. Line breaks in a title become spaces; they would end its line. */
export function formatM3u8(title: string, entries: readonly PlaylistEntry[]): string {
  const lines = entries.flatMap(entry => [
    `#EXTINF:${Math.round(entry.durationSeconds)},${oneLine(entry.title)}`,
    entry.path,
  ]);
  return `${['#EXTM3U', `#PLAYLIST:${oneLine(title)}`, ...lines].join('\n')}\n`;
}

const oneLine = (text: string): string => text.replace(/[\r\n\u2028\u2029]+/g, ' ').trim();
