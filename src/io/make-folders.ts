/**
 * Makes a folder and those above it.
 *
 * @module
 */
import { mkdir } from 'node:fs/promises';
import path from 'node:path';

/**
 * What `mkdir` of Node does when it is `recursive`, but for places like `/proc`, where that tries for
 * ever (Node 20).
 *
 * @returns The first folder that was made; undefined when all were there.
 * @throws {Error} As `mkdir` does.
 */
export async function makeFolders(folder: string): Promise<string | undefined> {
  try {
    await mkdir(folder);
    return folder;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const parent = path.dirname(folder);
    if (code === 'ENOENT' && parent !== folder) {
      const first = await makeFolders(parent);
      // With its parent there, and still not to be made, it is refused for good.
      if (first === undefined) throw error;
      await mkdir(folder);
      return first;
    }
    // There already; a file in its place is found by whoever uses it.
    if (code === 'EEXIST') return undefined;
    throw error;
  }
}
