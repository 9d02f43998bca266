/**
 * What the system says against writing, in words.
 *
 * @module
 */
import { UserError } from '../errors.js';

/** What is there instead, and what to do. */
export type WriteCause = readonly [found: string, fix: string];

/** What system errors mean to a user, whatever is written. */
export const WRITE_CAUSES: Readonly<Record<string, WriteCause>> = {
  EACCES: ['a place that may not be written', 'Choose another folder.'],
  EPERM: ['a place that may not be written', 'Choose another folder.'],
  EROFS: ['a place that may not be written', 'Choose another folder.'],
  ENOSPC: ['no space left', 'Make space, or choose another disk.'],
  EDQUOT: ['no space left for you', 'Make space, or choose another disk.'],
  EFBIG: ['a file larger than this disk takes', 'Choose another disk.'],
  EIO: ['a disk that fails', 'Choose another disk.'],
  ENAMETOOLONG: ['a path that is too long', 'Choose a shorter one.'],
};

/** The same where folders are made on the way. */
const FOLDER_CAUSES: Readonly<Record<string, WriteCause>> = {
  ...WRITE_CAUSES,
  ENOTDIR: ['a file where a folder should be', 'Choose another folder.'],
  EEXIST: ['a file where a folder should be', 'Choose another folder.'],
  ENOENT: ['a place where no folder can be made', 'Choose another folder.'],
};

/**
 * Runs a step on the disk.
 *
 * @param target - The place that the user knows.
 * @throws {UserError} `CANNOT_WRITE`, for what the system says against it. Anything else, as it is.
 */
export async function inWords<T>(target: string, step: () => Promise<T>): Promise<T> {
  try {
    return await step();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const known = code === undefined ? undefined : FOLDER_CAUSES[code];
    if (known === undefined) throw error;
    const [found, fix] = known;
    throw new UserError(
      'CANNOT_WRITE',
      `${target} cannot be written. Nothing was changed.`,
      [{ where: target, found, allowed: 'a place that can be written, with space', fix }],
      { cause: error },
    );
  }
}
