/**
 * What is kept from one run to the next: a folder of results, each under the hash of everything that
 * it follows from, the program itself included. There is nothing in it that a new run would not make
 * again: it may be deleted at any time, and where it cannot be used all is made anew.
 *
 * An entry begins with a hash of its name and of what follows, so that one that was cut off or
 * damaged counts as not there. Names of studies and families are in no entry.
 *
 * @module
 */
import { createHash, randomBytes } from 'node:crypto';
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { homedir, platform } from 'node:os';
import path from 'node:path';
import type { Memory } from '../kit/audio/sound-memory.js';
import { sha256 } from './kit-folder.js';
import { programHash } from './program-hash.js';

/** The folder takes no more than this, in bytes; what was not used for longest goes first. */
const MOST_BYTES = 2e9;

/** Bytes of the hash that an entry begins with. */
const HASH_BYTES = 32;

/** What a run that was stopped left half written is removed after this, in ms. */
const ABANDONED_MS = 3_600_000;

const ENTRY = /^[0-9a-f]{64}$/;
const PART = /^[0-9a-f]{64}\..*\.part$/;

/**
 * The memory in a folder.
 *
 * @param folder - Its path; undefined for no memory at all.
 * @param mostBytes - How much it may hold.
 * @param program - Hash of what makes results; asked for when there is something to recall.
 */
export function diskMemory(
  folder: string | undefined = memoryFolder(),
  mostBytes = MOST_BYTES,
  program: () => string = programHash,
): Memory | undefined {
  if (folder === undefined) return undefined;
  let isWritable = true;
  /** Bytes that may still be kept; not known before the first. */
  let left = -1;
  const nameOf = (key: string): string => sha256(`${program()} ${key}`);
  return {
    recall: key => {
      const name = nameOf(key);
      const file = path.join(folder, name);
      try {
        const entry = readFileSync(file);
        const result = entry.subarray(HASH_BYTES);
        if (!hashOf(name, result).equals(entry.subarray(0, HASH_BYTES))) return undefined;
        touch(file);
        return result;
      } catch {
        return undefined;
      }
    },
    keep: (key, result) => {
      if (!isWritable) return;
      const name = nameOf(key);
      const file = path.join(folder, name);
      // Beside its place under a name of its own, then renamed: whoever reads finds it whole.
      const part = `${file}.${randomBytes(6).toString('hex')}.part`;
      try {
        mkdirSync(folder, { recursive: true, mode: 0o700 });
        writeFileSync(part, Buffer.concat([hashOf(name, result), result]), { mode: 0o600 });
        renameSync(part, file);
        left -= HASH_BYTES + result.length;
        // Counting takes a while when there is much.
        if (left < 0) left = mostBytes - forget(folder, mostBytes);
      } catch {
        isWritable = false;
        remove(part);
      }
    },
  };
}

/**
 * Where results are kept: the folder in SOFTKNOCK_CACHE, none when that is empty; else where this
 * system keeps such things.
 */
function memoryFolder(): string | undefined {
  const { SOFTKNOCK_CACHE: own, XDG_CACHE_HOME: xdg, LOCALAPPDATA: local } = process.env;
  if (own !== undefined) return own === '' ? undefined : path.resolve(own);
  const home = homedir();
  if (platform() === 'darwin') return path.join(home, 'Library', 'Caches', 'softknock');
  if (platform() === 'win32') {
    return path.join(local ?? path.join(home, 'AppData', 'Local'), 'softknock', 'cache');
  }
  // The XDG base directory specification: a path that is not absolute is to be ignored.
  const base = xdg !== undefined && path.isAbsolute(xdg) ? xdg : path.join(home, '.cache');
  return path.join(base, 'softknock');
}

const hashOf = (name: string, result: Uint8Array): Buffer =>
  createHash('sha256').update(name).update(result).digest();

/** Removes what was used longest ago until the rest is small enough; returns its bytes. Only files of our own. */
function forget(folder: string, mostBytes: number): number {
  const entries = readdirSync(folder).flatMap(name => {
    if (!ENTRY.test(name) && !PART.test(name)) return [];
    const file = path.join(folder, name);
    const found = statSync(file, { throwIfNoEntry: false });
    if (found === undefined) return [];
    if (PART.test(name)) {
      if (Date.now() - found.mtimeMs > ABANDONED_MS) remove(file);
      return [];
    }
    return [{ file, bytes: found.size, usedMs: found.mtimeMs }];
  });
  let bytes = entries.reduce((sum, entry) => sum + entry.bytes, 0);
  for (const entry of entries.sort((a, b) => a.usedMs - b.usedMs)) {
    if (bytes <= mostBytes) break;
    remove(entry.file);
    bytes -= entry.bytes;
  }
  return bytes;
}

function touch(file: string): void {
  const now = new Date();
  try {
    utimesSync(file, now, now);
  } catch {
    // It only seems older than it is.
  }
}

function remove(file: string): void {
  try {
    rmSync(file, { force: true });
  } catch {
    // Another run has it open: it goes next time.
  }
}
