/**
 * Text files that must not exist yet.
 *
 * @module
 */
import { open, rm } from 'node:fs/promises';
import { UserError } from '../errors.js';
import { WRITE_CAUSES, type WriteCause } from './cannot-write.js';

/** What system errors mean to a user where a new file is written. */
const CAUSES: Readonly<Record<string, WriteCause>> = {
  ...WRITE_CAUSES,
  EEXIST: ['a file or folder of this name, which is not overwritten', 'Choose another name.'],
  ENOENT: ['no such folder to write into', 'Make the folder first, or choose another.'],
  ENOTDIR: [
    'no such folder to write into',
    'Check the path: a part of it is a file, not a folder.',
  ],
  EISDIR: ['a folder of this name', 'Choose another name.'],
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
