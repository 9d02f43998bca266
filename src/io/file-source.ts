/**
 * A file on the disk as a source of bytes: read where and when it is asked for, never as a whole.
 *
 * @module
 */
import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import type { OpenSource } from '../formats/audio-stream.js';
import { cannotRead } from './read-text.js';

/**
 * Opens a file.
 *
 * @throws {UserError} `CANNOT_READ`: missing, not a file, or may not be read.
 */
export function openFile(path: string): OpenSource {
  let descriptor: number;
  try {
    descriptor = openSync(path, 'r');
  } catch (error) {
    throw cannotRead(path, error);
  }
  const stats = fstatSync(descriptor);
  if (!stats.isFile()) {
    closeSync(descriptor);
    // The same words as for a folder that is read as a file.
    throw cannotRead(path, Object.assign(new Error('not a file'), { code: 'EISDIR' }));
  }
  return {
    size: stats.size,
    read: (offset, length) => readAt(descriptor, offset, length),
    close: () => {
      closeSync(descriptor);
    },
  };
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
