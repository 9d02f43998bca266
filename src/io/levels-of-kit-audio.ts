/**
 * The kit that an audio file lies in, as far as its levels are concerned.
 *
 * @module
 */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { raisedNote } from '../kit/plan-kit.js';
import { readManifest } from '../kit/manifest/read-manifest.js';

/**
 * What has to be said with the levels of a kit's file: that its ceiling is above the default.
 *
 * @returns undefined when it is not, or when there is no kit around the file.
 */
export async function raisedCeilingOf(audioFile: string): Promise<string | undefined> {
  const folder = path.dirname(audioFile);
  for (const place of [folder, path.dirname(folder)]) {
    const text = await readFile(path.join(place, 'kit.json'), 'utf8').catch(() => undefined);
    if (text === undefined) continue;
    try {
      const { kit, ceiling } = readManifest(text);
      return ceiling.raisedBy === null ? undefined : `Of kit ${kit}. ${raisedNote(ceiling)}`;
    } catch (error) {
      // Some other file of that name.
      if (!(error instanceof RangeError)) throw error;
    }
  }
  return undefined;
}
