/**
 * Checks a kit that lies in a folder.
 *
 * @module
 */
import path from 'node:path';
import { UserError } from '../errors.js';
import type { OpenSource } from '../formats/audio-stream.js';
import { type Verification, verifyKit } from '../kit/verify/verify-kit.js';
import { openFile } from './file-source.js';
import { listFiles, sha256Of } from './kit-folder.js';
import { cannotRead } from './read-text.js';

/**
 * Checks a kit.
 *
 * @param absent - Words that must occur in none of its files.
 * @throws {UserError} `CANNOT_READ`: the folder or a file in it cannot be read. `BAD_KIT`: it holds
 *   nothing of a kit.
 */
export async function verifyFolder(
  folder: string,
  absent: readonly string[],
  onMeasured?: () => void,
): Promise<Verification> {
  const files = await listFiles(folder).catch((error: unknown) => {
    throw cannotRead(folder, error);
  });
  if (!files.includes('kit.json') && !files.includes('SHA256SUMS')) {
    throw new UserError('BAD_KIT', `${folder} is not a kit.`, [
      {
        where: folder,
        found: 'a folder without kit.json and SHA256SUMS',
        allowed: "the folder that softknock kit made, named like the kit's code",
        fix: 'Give the path of that folder.',
      },
    ]);
  }
  const open = (file: string): OpenSource => openFile(path.join(folder, ...file.split('/')));
  return verifyKit(
    { name: path.basename(path.resolve(folder)), files, open },
    { sha256Of, absent, ...(onMeasured === undefined ? {} : { onMeasured }) },
  );
}

/** How many audio files will be measured, as far as the names tell. */
export async function countAudio(folder: string): Promise<number> {
  const files = await listFiles(folder).catch(() => []);
  return files.filter(file => /\.mp3$|^disc\/.*\.wav$/.test(file)).length;
}
