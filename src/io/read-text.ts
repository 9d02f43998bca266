/**
 * Text files, with refusals in words.
 *
 * @module
 */
import { type FileHandle, open } from 'node:fs/promises';
import { UserError, type UserErrorCode } from '../errors.js';

/** What system errors mean to a user. */
const CAUSES: Readonly<Record<string, readonly [found: string, fix: string]>> = {
  ENOENT: ['no such file', 'Check the path.'],
  ENOTDIR: ['no such file', 'Check the path: a part of it is a file, not a folder.'],
  EISDIR: ['a folder', 'Give the path of the file in it.'],
  EACCES: ['a file that may not be read', 'Change its permissions, or copy it.'],
  EPERM: ['a file that may not be read', 'Change its permissions, or copy it.'],
  ELOOP: ['links that lead in a circle', 'Give the path of the file itself.'],
  ENAMETOOLONG: ['a path that is too long', 'Check the path.'],
};

/**
 * Reads a UTF-8 text file.
 *
 * @param file - Its path.
 * @param maxBytes - Largest size accepted.
 * @throws {UserError} `CANNOT_READ` for a file that is missing, unreadable or too large; `code` for one
 * that is not UTF-8 text.
 */
export async function readText(
  file: string,
  maxBytes: number,
  code: UserErrorCode,
): Promise<string> {
  const bytes = await readBytes(file, maxBytes);
  const text = decodeUtf8(bytes);
  if (text !== undefined) return text;
  throw new UserError(code, `${file} is not UTF-8 text.`, [
    {
      where: file,
      found: looksLikeUtf16(bytes) ? 'UTF-16 text' : 'bytes that are not UTF-8 text',
      allowed: 'UTF-8 text',
      fix: 'Save the file with the encoding UTF-8.',
    },
  ]);
}

/**
 * Reads a file whole.
 *
 * @param maxBytes - Largest size accepted.
 * @throws {UserError} `CANNOT_READ` for a file that is missing, unreadable or too large.
 */
export async function readBytes(file: string, maxBytes: number): Promise<Uint8Array> {
  let bytes: Uint8Array;
  try {
    bytes = await readUpTo(file, maxBytes + 1);
  } catch (error) {
    throw cannotRead(file, error);
  }
  if (bytes.length > maxBytes) throw tooLarge(file, maxBytes);
  return bytes;
}

/** The refusal for a file of more than `maxBytes`. */
export function tooLarge(file: string, maxBytes: number): UserError {
  return new UserError('CANNOT_READ', `${file} is too large.`, [
    {
      where: file,
      found: `more than ${maxBytes / 1e6} MB`,
      allowed: `at most ${maxBytes / 1e6} MB`,
      fix: 'Check that this is the right file.',
    },
  ]);
}

/** The refusal for a file that the system does not give. */
export function cannotRead(file: string, error: unknown): UserError {
  const systemCode = (error as { code?: unknown } | null)?.code;
  const known = typeof systemCode === 'string' ? CAUSES[systemCode] : undefined;
  if (known === undefined && typeof systemCode !== 'string') throw error;
  const [found, fix] = known ?? [`system error ${String(systemCode)}`, 'Try another copy.'];
  return new UserError(
    'CANNOT_READ',
    `${file} cannot be read.`,
    [{ where: file, found, allowed: 'a file that can be read', fix }],
    { cause: error },
  );
}

/** The first `limit` bytes of a file, or all of them if there are fewer. */
export async function readUpTo(file: string, limit: number): Promise<Uint8Array> {
  const handle: FileHandle = await open(file, 'r');
  try {
    const chunks: Uint8Array[] = [];
    let total = 0;
    while (total < limit) {
      const chunk = new Uint8Array(Math.min(64 * 1024, limit - total));
      const { bytesRead } = await handle.read(chunk, 0, chunk.length);
      if (bytesRead === 0) break;
      chunks.push(chunk.subarray(0, bytesRead));
      total += bytesRead;
    }
    return Buffer.concat(chunks);
  } finally {
    await handle.close();
  }
}

/** The text; undefined when the bytes are not UTF-8. A byte-order mark is dropped. */
export function decodeUtf8(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (error) {
    if (error instanceof TypeError) return undefined;
    throw error;
  }
}

const looksLikeUtf16 = (bytes: Uint8Array): boolean =>
  (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
