/**
 * A kit's folder on the disk.
 *
 * @module
 */
import { createHash } from 'node:crypto';
import { lstat, readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.js';
import { parseSha256Sums } from '../formats/sha256sums.js';
import { SUMS_PATH } from '../kit/build.js';
import { sumOf } from '../kit/verify/verify-files.js';
import { openFile } from './file-source.js';

/** SHA-256 in lower-case hexadecimal. */
export const sha256 = (content: Uint8Array | string): string =>
  createHash('sha256').update(content).digest('hex');

/** The same of content that comes in pieces. */
export function sha256Of() {
  const hash = createHash('sha256');
  return {
    update: (piece: Uint8Array): void => void hash.update(piece),
    digest: (): string => hash.digest('hex'),
  };
}

/** The same of a file, however large it is. */
function sha256OfFile(file: string): string {
  const source = openFile(file);
  try {
    return sumOf(source, sha256Of);
  } finally {
    source.close();
  }
}

/** Paths of all files below a folder, forward slashes, in order. Links are files here. */
export async function listFiles(folder: string): Promise<readonly string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries
    .filter(entry => !entry.isDirectory())
    .map(entry => path.relative(folder, path.join(entry.parentPath, entry.name)))
    .map(file => file.split(path.sep).join('/'))
    .sort();
}

/**
 * Lets a folder be replaced when there is nothing, an empty folder, or a kit of ours in which
 * nothing was changed, added or removed.
 *
 * @throws {UserError} `CANNOT_WRITE`: something else is there.
 */
export async function requireReplaceable(folder: string): Promise<void> {
  const kind = await kindOf(folder);
  if (kind === 'nothing') return;
  if (kind === 'file') {
    throw occupied(
      folder,
      'a file of that name',
      'Move it away, or choose another folder with --out.',
    );
  }
  const files = await listFiles(folder);
  if (files.length === 0) return;
  if (!files.includes(SUMS_PATH) || !files.includes('kit.json')) {
    throw occupied(
      folder,
      'a folder with files that softknock did not write',
      'Move it away, or choose another folder with --out.',
    );
  }
  const [changed] = await changedFiles(folder, files);
  const revised = changed ?? (await revisionOf(folder));
  if (revised === undefined) return;
  throw occupied(
    folder,
    `a kit that was used or changed: ${revised}`,
    'Keep it: it may hold what a family noted. Move it away, or choose another folder with --out.',
  );
}

/** A plan that came of a family's log is no plan to start from anew: it may even have stopped. */
async function revisionOf(folder: string): Promise<string | undefined> {
  const text = await readFile(path.join(folder, 'kit.json'), 'utf8');
  const { version } = JSON.parse(text) as { readonly version?: unknown };
  const isRevised = typeof version === 'number' && version > 1;
  return isRevised ? `its plan was revised, and is plan ${version}` : undefined;
}

async function kindOf(place: string): Promise<'nothing' | 'file' | 'folder'> {
  try {
    // A link is not followed: what it points to is not ours to replace.
    return (await lstat(place)).isDirectory() ? 'folder' : 'file';
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT' || code === 'ENOTDIR') return 'nothing';
    throw error;
  }
}

/** What differs between a kit and its checksums, in words; none for an unchanged kit. */
export async function changedFiles(
  folder: string,
  files: readonly string[],
): Promise<readonly string[]> {
  const sums = parseSha256Sums(await readFile(path.join(folder, SUMS_PATH), 'utf8'));
  if (sums === undefined) return [`${SUMS_PATH} is not as it was written`];
  const expected = new Map(sums.map(sum => [sum.path, sum.sha256]));
  const changed: string[] = [];
  for (const file of files) {
    if (file === SUMS_PATH) continue;
    const sum = expected.get(file);
    expected.delete(file);
    if (sum === undefined) {
      changed.push(`${file} was added`);
    } else if (sha256OfFile(path.join(folder, ...file.split('/'))) !== sum) {
      changed.push(`${file} is not as it was written`);
    }
  }
  return [...changed, ...[...expected.keys()].map(missing => `${missing} is missing`)];
}

const occupied = (folder: string, found: string, fix: string): UserError =>
  new UserError('CANNOT_WRITE', `${folder} is there already and was not touched.`, [
    {
      where: folder,
      found,
      allowed: 'no folder of that name, or an unchanged kit of an earlier build',
      fix,
    },
  ]);
