/**
 * A file on the disk as a source of bytes: read where and when it is asked for, never as a whole.
 *
 * @module
 */
import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { UserError } from '../errors.js';
import type { ByteSource } from '../formats/audio-stream.js';

/** An open file. */
export interface FileSource extends ByteSource {
  /** Must be called when nothing more is to be read. */
  close(): void;
}

/**
 * Opens a file.
 *
 * @throws {UserError} `CANNOT_READ`: missing, not a file, or may not be read.
 */
export function openFile(path: string): FileSource {
  try {
    const descriptor = openSync(path, 'r');
    const stats = fstatSync(descriptor);
    if (!stats.isFile()) {
      closeSync(descriptor);
      throw cannotRead(path, stats.isDirectory() ? 'a folder' : 'something that is not a file');
    }
    return {
      size: stats.size,
      read: (offset, length) => readAt(descriptor, offset, length),
      close: () => {
        closeSync(descriptor);
      },
    };
  } catch (error) {
    if (error instanceof UserError) throw error;
    throw cannotRead(path, reasonOf(error), error);
  }
}

function readAt(descriptor: number, offset: number, length: number): Uint8Array {
  const bytes = new Uint8Array(length);
  let filled = 0;
  while (filled < length) {
    const count = readSync(descriptor, bytes, filled, length - filled, offset + filled);
    if (count === 0) break;
    filled += count;
  }
  return bytes.subarray(0, filled);
}

function reasonOf(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code ?? 'unknown error';
  if (code === 'ENOENT') return 'no such file';
  return code === 'EACCES' || code === 'EPERM' ? 'no permission to read it' : code;
}

const cannotRead = (path: string, found: string, cause?: unknown): UserError =>
  new UserError(
    'CANNOT_READ',
    `Cannot read ${path}.`,
    [
      {
        where: path,
        found,
        allowed: 'a file that may be read',
        fix: 'Check the path and the permissions.',
      },
    ],
    { cause },
  );
