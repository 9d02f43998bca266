/**
 * Audio files as they are named on a command line: paths, and playlists that name more.
 *
 * @module
 */
import path from 'node:path';
import { UserError } from '../errors.js';
import { readText } from './read-text.js';

/** No playlist of files is larger. */
const MAX_PLAYLIST_BYTES = 1_000_000;

/** An address of another kind than a file: `https:` and the like, but not a drive letter. */
const ADDRESS = /^[a-z][a-z\d+.-]+:/i;

/**
 * The paths with every playlist (`.m3u8`, `.m3u`) replaced by the files it names, in its order.
 *
 * @throws {UserError} `CANNOT_READ` for a playlist that cannot be read; `BAD_AUDIO` for one that is
 * not text, names nothing, or names something that is not a file.
 */
export async function audioPaths(paths: readonly string[]): Promise<string[]> {
  const expanded: string[] = [];
  for (const given of paths) {
    if (/\.m3u8?$/i.test(given)) expanded.push(...(await playlistPaths(given)));
    else expanded.push(given);
  }
  return expanded;
}

async function playlistPaths(playlist: string): Promise<string[]> {
  const text = await readText(playlist, MAX_PLAYLIST_BYTES, 'BAD_AUDIO');
  const entries = text
    .split(/\r\n|\r|\n/)
    .map((line, index) => ({ entry: line.trim(), where: `${playlist}:${index + 1}` }))
    .filter(({ entry }) => entry !== '' && !entry.startsWith('#'));
  const addresses = entries.filter(({ entry }) => ADDRESS.test(entry));
  const problems = addresses.map(({ entry, where }) => ({
    where,
    found: entry,
    allowed: 'a file on this computer',
    fix: 'Save the audio to a file and name that.',
  }));
  if (entries.length === 0) {
    problems.push({
      where: playlist,
      found: 'no entries',
      allowed: 'one audio file per line',
      fix: 'Give the right playlist, or the audio files themselves.',
    });
  }
  if (problems.length > 0) {
    throw new UserError('BAD_AUDIO', `Cannot read the playlist ${playlist}.`, problems);
  }
  return entries.map(({ entry }) => path.resolve(path.dirname(playlist), entry));
}
