/**
 * Writes a sound to a WAV file: in blocks, to a temporary file beside its place, then renamed, so
 * that nothing half-written is ever found there.
 *
 * @module
 */
import { randomBytes } from 'node:crypto';
import { access, open, rename, rm } from 'node:fs/promises';
import { UserError } from '../errors.js';
import { wavBytes } from '../formats/wav-writer.js';
import type { Sound } from '../signal/sound.js';

export interface WriteWavOptions {
  /** 1 unless given; with 2, both are the same. */
  readonly channels?: 1 | 2;
  /** 16 unless given; 32 is float. */
  readonly bits?: 16 | 24 | 32;
  /** Fixes the dither, so that the same sound gives the same bytes. */
  readonly seed?: string;
  /** Whether a file that is there already may be replaced; false unless given. */
  readonly overwrite?: boolean;
}

/**
 * Writes a sound.
 *
 * @throws {UserError} `CANNOT_WRITE`: the file exists, or the place cannot be written.
 * @throws {RangeError} A sample is not finite or above full scale.
 */
export async function writeWav(
  path: string,
  sound: Sound,
  options: WriteWavOptions = {},
): Promise<void> {
  const { overwrite = false, seed = 'dither', ...format } = options;
  if (!overwrite && (await exists(path))) {
    throw cannotWrite(path, 'a file of that name', 'Choose another name, or remove the file.');
  }
  // Random, so that two programs writing to one place do not meet; it is gone after the rename.
  const temporary = `${path}.${randomBytes(6).toString('hex')}.part`;
  try {
    const file = await open(temporary, 'wx');
    try {
      for (const bytes of wavBytes(sound, { ...format, seed })) await file.writeFile(bytes);
    } finally {
      await file.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    if (!(error instanceof Error) || !('code' in error) || error instanceof UserError) throw error;
    throw cannotWrite(
      path,
      String(error.code),
      'Check the folder, its permissions and the space.',
      {
        cause: error,
      },
    );
  }
}

async function exists(path: string): Promise<boolean> {
  try {
    await access(path);
    return true;
  } catch {
    return false;
  }
}

const cannotWrite = (path: string, found: string, fix: string, options?: ErrorOptions): UserError =>
  new UserError(
    'CANNOT_WRITE',
    `Cannot write ${path}.`,
    [{ where: path, found, allowed: 'a new file in a folder that may be written', fix }],
    options,
  );
