/**
 * A kit as one file, to send: `<kit-code>.zip` beside its folder, with the folder in it.
 *
 * @module
 */
import { randomBytes } from 'node:crypto';
import { lstat, open, rename, rm } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.js';
import { piecesOf } from '../formats/audio-stream.js';
import { type ZipEntry, zipFiles } from '../formats/zip.js';
import { inWords } from './cannot-write.js';
import { openFile } from './file-source.js';
import { listFiles } from './kit-folder.js';

/** Where the archive of a kit's folder goes. */
export const zipPath = (folder: string): string => `${folder}.zip`;

/** @throws {UserError} `CANNOT_WRITE`: something is there already. */
export async function requireNoZip(folder: string): Promise<void> {
  const place = zipPath(folder);
  const isThere = await lstat(place).then(
    () => true,
    () => false,
  );
  if (!isThere) return;
  throw new UserError('CANNOT_WRITE', `${place} is there already and was not touched.`, [
    {
      where: place,
      found: 'a file of that name',
      allowed: 'no file of that name',
      fix: 'Remove it, or move it away.',
    },
  ]);
}

/**
 * Packs a kit's folder.
 *
 * @returns Path of the archive.
 * @throws {UserError} `CANNOT_WRITE`, with nothing half-written.
 */
export async function zipKit(folder: string, signal?: AbortSignal): Promise<string> {
  await requireNoZip(folder);
  const place = zipPath(folder);
  const temporary = `${place}.${randomBytes(6).toString('hex')}.part`;
  try {
    await inWords(place, async () => {
      const handle = await open(temporary, 'wx');
      try {
        for await (const piece of zipFiles(entriesOf(folder))) {
          signal?.throwIfAborted();
          await handle.writeFile(piece);
        }
        await handle.sync();
      } finally {
        await handle.close();
      }
      await rename(temporary, place);
    });
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
  return place;
}

/** The readme first, so that it is seen first; then by name. */
async function* entriesOf(folder: string): AsyncGenerator<ZipEntry> {
  const files = await listFiles(folder);
  const isReadme = (file: string): boolean => file === 'README.txt';
  for (const file of [...files.filter(isReadme), ...files.filter(file => !isReadme(file))]) {
    const source = openFile(path.join(folder, ...file.split('/')));
    try {
      yield { path: `${path.basename(folder)}/${file}`, pieces: piecesOf(source) };
    } finally {
      source.close();
    }
  }
}
