/**
 * A folder that is there whole or not at all: written beside its place under another name, then
 * renamed.
 *
 * @module
 */
import { randomBytes } from 'node:crypto';
import { copyFile, type FileHandle, link, mkdir, open, rename, rm, rmdir } from 'node:fs/promises';
import path from 'node:path';
import { inWords } from './cannot-write.js';
import { makeFolders } from './make-folders.js';

/** A file of the folder. */
export interface FolderFile {
  /** Relative to the folder, forward slashes. */
  readonly path: string;
  readonly bytes: Uint8Array;
  /** What follows them in a file too large to be held whole; read once. */
  readonly more?: AsyncIterable<Uint8Array> | undefined;
}

/** A file that stays as it is: it is not written again. */
export interface KeptFile {
  readonly path: string;
  /** Path of the file on the disk. */
  readonly keep: string;
}

export interface AtomicFolderOptions {
  /** Called right before the new folder takes its place; throws when what is there must stay. */
  readonly mayReplace: () => Promise<void>;
  /** Stops the writing; nothing stays of it. */
  readonly signal?: AbortSignal | undefined;
  /** Writes bytes to the end of a file; another one only in tests. */
  readonly writeFile?: (handle: FileHandle, bytes: Uint8Array) => Promise<void>;
}

/**
 * Writes a folder.
 *
 * @param target - Its path. What is there is replaced, as far as `mayReplace` lets it.
 * @throws {UserError} `CANNOT_WRITE`, with the place as it was before. Whatever `files`,
 *   `mayReplace` and the signal throw, likewise.
 */
export async function writeFolder(
  target: string,
  files: AsyncIterable<FolderFile | KeptFile>,
  options: AtomicFolderOptions,
): Promise<void> {
  const parent = path.dirname(target);
  const made = await inWords(target, () => makeFolders(parent));
  let temporary: string | undefined;
  try {
    // The leading dot hides it from people who look into the folder meanwhile.
    const folder = path.join(
      parent,
      `.${path.basename(target)}.${randomBytes(6).toString('hex')}.part`,
    );
    await inWords(target, () => mkdir(folder));
    temporary = folder;
    for await (const file of files) {
      options.signal?.throwIfAborted();
      await inWords(target, () => writeInto(folder, file, options));
    }
    options.signal?.throwIfAborted();
    await inWords(target, () => syncFolder(folder));
    await options.mayReplace();
    await inWords(target, () => putInPlace(folder, target));
    temporary = undefined;
    await syncFolder(parent).catch(() => undefined);
  } finally {
    if (temporary !== undefined) {
      await rm(temporary, { recursive: true, force: true });
      if (made !== undefined) await removeEmpty(parent, made);
    }
  }
}

const writeAll = (handle: FileHandle, bytes: Uint8Array): Promise<void> => handle.writeFile(bytes);

async function writeInto(
  folder: string,
  file: FolderFile | KeptFile,
  { signal, writeFile: write = writeAll }: AtomicFolderOptions,
): Promise<void> {
  const place = path.join(folder, ...file.path.split('/'));
  if (!place.startsWith(folder + path.sep)) throw new RangeError(`${file.path} leaves its folder`);
  await mkdir(path.dirname(place), { recursive: true });
  if ('keep' in file) {
    // Not every file system has links.
    await link(file.keep, place).catch(() => copyFile(file.keep, place));
    return;
  }
  const handle = await open(place, 'wx');
  try {
    await write(handle, file.bytes);
    for await (const piece of file.more ?? []) {
      signal?.throwIfAborted();
      await write(handle, piece);
    }
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** The new folder to its place; an old one aside, back when that fails, away when it worked. */
async function putInPlace(folder: string, target: string): Promise<void> {
  const aside = `${folder}-old`;
  const wasThere = await rename(target, aside).then(
    () => true,
    (error: unknown) => {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return false;
      throw error;
    },
  );
  try {
    await rename(folder, target);
  } catch (error) {
    if (wasThere) await rename(aside, target);
    throw error;
  }
  if (wasThere) await rm(aside, { recursive: true, force: true });
}

/** Makes the names in a folder last, where the system can. */
async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** Removes folders that were made for nothing, from `parent` up to the first that was made. */
async function removeEmpty(parent: string, first: string): Promise<void> {
  for (let folder = path.resolve(parent); folder.startsWith(path.resolve(first));) {
    try {
      await rmdir(folder);
    } catch {
      return;
    }
    folder = path.dirname(folder);
  }
}
