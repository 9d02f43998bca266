/**
 * Text files that must not exist yet.
 *
 * @module
 */
import { open, rm } from 'node:fs/promises';
import { UserError } from '../errors.js';

/** What system errors mean to a user. */
const CAUSES: Readonly<Record<string, readonly [found: string, fix: string]>> = {
  EEXIST: ['a file or folder of this name, which is not overwritten', 'Choose another name.'],
  ENOENT: ['no such folder to write into', 'Make the folder first, or choose another.'],
  ENOTDIR: [
    'no such folder to write into',
    'Check the path: a part of it is a file, not a folder.',
  ],
  EISDIR: ['a folder of this name', 'Choose another name.'],
  EACCES: ['a place that may not be written', 'Choose another folder.'],
  EPERM: ['a place that may not be written', 'Choose another folder.'],
  EROFS: ['a place that may not be written', 'Choose another folder.'],
  ENOSPC: ['no space left', 'Make space, or choose another disk.'],
  EDQUOT: ['no space left for you', 'Make space, or choose another disk.'],
  ENAMETOOLONG: ['a path that is too long', 'Choose a shorter name.'],
};

/**
 * Writes a new text file; nothing stays of one that cannot be written whole.
 *
 * @throws {UserError} `CANNOT_WRITE`: it exists already, or cannot be written.
 */
export async function writeNewText(file: string, text: string): Promise<void> {
  try {
    const handle = await open(file, 'wx');
    try {
      await handle.writeFile(text, 'utf8');
    } catch (error) {
      await rm(file, { force: true });
      throw error;
    } finally {
      await handle.close();
    }
  } catch (error) {
    throw cannotWrite(file, error);
  }
}

function cannotWrite(file: string, error: unknown): unknown {
  const { code } = error as NodeJS.ErrnoException;
  if (code === undefined) return error;
  const [found, fix] = CAUSES[code] ?? [`system error ${code}`, 'Choose another place.'];
  return new UserError(
    'CANNOT_WRITE',
    `${file} cannot be written.`,
    [{ where: file, found, allowed: 'the name of a new file in a folder that exists', fix }],
    { cause: error },
  );
}
