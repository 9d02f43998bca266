/**
 * What the system says against writing, in words.
 *
 * @module
 */
import { UserError } from '../errors.js';

/** What system errors mean to a user. */
const CAUSES: Readonly<Record<string, readonly [found: string, fix: string]>> = {
  EACCES: ['a place that may not be written', 'Choose another folder with --out.'],
  EPERM: ['a place that may not be written', 'Choose another folder with --out.'],
  EROFS: ['a place that may not be written', 'Choose another folder with --out.'],
  ENOSPC: ['no space left', 'Make space, or choose another disk with --out.'],
  EDQUOT: ['no space left for you', 'Make space, or choose another disk with --out.'],
  EFBIG: ['a file larger than this disk takes', 'Choose another disk with --out.'],
  EIO: ['a disk that fails', 'Choose another disk with --out.'],
  ENOTDIR: ['a file where a folder should be', 'Choose another folder with --out.'],
  EEXIST: ['a file where a folder should be', 'Choose another folder with --out.'],
  ENAMETOOLONG: ['a path that is too long', 'Choose a shorter one with --out.'],
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
    const known = code === undefined ? undefined : CAUSES[code];
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
