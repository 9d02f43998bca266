/** Folders that are there whole or not at all. */
import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { appendFile } from 'node:fs/promises';
import path from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { InterruptedError } from '../../src/errors.js';
import {
  type AtomicFolderOptions,
  type FolderFile,
  writeFolder,
} from '../../src/io/atomic-folder.js';
import { temporaryFolder } from '../helpers/cli.js';
import { refusalOf } from '../helpers/refusal.js';

const base = await temporaryFolder();
let count = 0;
let parent: string;
let target: string;
beforeEach(() => {
  parent = path.join(base, String((count += 1)));
  target = path.join(parent, 'kit');
});

const FILES: readonly FolderFile[] = [
  { path: 'a.txt', bytes: new TextEncoder().encode('alpha') },
  { path: 'steps/b.txt', bytes: new TextEncoder().encode('beta') },
];

// eslint-disable-next-line @typescript-eslint/require-await -- what is built takes time; this does not
async function* filesOf(files: readonly FolderFile[], error?: Error) {
  yield* files;
  if (error !== undefined) throw error;
}

const free: AtomicFolderOptions = { mayReplace: () => Promise.resolve() };

/** An error as the system gives it. */
const systemError = (code: string): Error => Object.assign(new Error(code), { code });

/** Everything that lies in a folder, hidden or not. */
const listing = (folder: string): string[] =>
  existsSync(folder) ? readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort() : [];

describe('writing', () => {
  test('makes the folder, its files and the folders above it', async () => {
    await writeFolder(target, filesOf(FILES), free);
    expect(listing(parent)).toEqual(['kit', 'kit/a.txt', 'kit/steps', 'kit/steps/b.txt']);
    expect(readFileSync(path.join(target, 'steps/b.txt'), 'utf8')).toBe('beta');
  });

  test('lets others read the folder as far as the system’s settings do', async () => {
    await writeFolder(target, filesOf(FILES), free);
    mkdirSync(path.join(parent, 'usual'));
    expect(statSync(target).mode).toBe(statSync(path.join(parent, 'usual')).mode);
  });

  test('replaces what was there, wholly', async () => {
    mkdirSync(target, { recursive: true });
    writeFileSync(path.join(target, 'old.txt'), 'old');
    await writeFolder(target, filesOf(FILES), free);
    expect(listing(parent)).toEqual(['kit', 'kit/a.txt', 'kit/steps', 'kit/steps/b.txt']);
  });

  test('asks before it takes the place of something, when all is written', async () => {
    mkdirSync(target, { recursive: true });
    writeFileSync(path.join(target, 'old.txt'), 'old');
    let seen: string[] = [];
    const mayReplace = () => {
      seen = listing(parent);
      return Promise.reject(new Error('no'));
    };
    await expect(writeFolder(target, filesOf(FILES), { mayReplace })).rejects.toThrow('no');
    expect(seen.some(name => name.endsWith('b.txt'))).toBe(true);
    expect(listing(parent)).toEqual(['kit', 'kit/old.txt']);
  });

  test.each(['../evil.txt', 'steps/../../evil.txt'])('refuses a file outside: %s', async name => {
    const evil = [{ path: name, bytes: new Uint8Array(1) }];
    await expect(writeFolder(target, filesOf(evil), free)).rejects.toThrow(RangeError);
    expect(listing(base).filter(file => file.endsWith('evil.txt'))).toEqual([]);
  });
});

describe('what fails leaves everything as it was', () => {
  beforeEach(() => {
    mkdirSync(target, { recursive: true });
    writeFileSync(path.join(target, 'old.txt'), 'old');
  });

  const expectUntouched = (): void => {
    expect(listing(parent)).toEqual(['kit', 'kit/old.txt']);
    expect(readFileSync(path.join(target, 'old.txt'), 'utf8')).toBe('old');
  };

  test.each([
    ['ENOSPC', 'no space left'],
    ['EDQUOT', 'no space left for you'],
    ['EIO', 'a disk that fails'],
    ['EROFS', 'may not be written'],
  ])('a disk that says %s in the middle of a file', async (code, found) => {
    let written = 0;
    const writeFile: NonNullable<AtomicFolderOptions['writeFile']> = async (handle, bytes) => {
      if ((written += 1) === 1) return handle.writeFile(bytes);
      // Half of it fits.
      await handle.writeFile(bytes.subarray(0, 2));
      throw systemError(code);
    };
    const error = await refusalOf(writeFolder(target, filesOf(FILES), { ...free, writeFile }));
    expect(error.code).toBe('CANNOT_WRITE');
    expect(error.exitCode).toBe(2);
    expect(error.problems[0]!.where).toBe(target);
    expect(error.problems[0]!.found).toContain(found);
    expectUntouched();
  });

  test('files that cannot be made', async () => {
    await expect(writeFolder(target, filesOf(FILES, new Error('fault')), free)).rejects.toThrow(
      'fault',
    );
    expectUntouched();
  });

  test('a stop from outside', async () => {
    const controller = new AbortController();
    async function* stopping() {
      yield* filesOf(FILES.slice(0, 1));
      controller.abort(new InterruptedError());
      yield* filesOf(FILES.slice(1));
    }
    const options = { ...free, signal: controller.signal };
    await expect(writeFolder(target, stopping(), options)).rejects.toThrow(InterruptedError);
    expectUntouched();
  });
});

describe('places that cannot be written', () => {
  test('folders made for nothing are gone again', async () => {
    await expect(
      writeFolder(path.join(parent, 'x/y/kit'), filesOf([], new Error('fault')), free),
    ).rejects.toThrow('fault');
    expect(existsSync(parent)).toBe(false);
  });

  test.runIf(existsSync('/proc'))('a place where the system makes no folders', async () => {
    const { problems } = await refusalOf(
      writeFolder('/proc/softknock-test/kit', filesOf(FILES), free),
    );
    expect(problems[0]!.found).toBe('a place where no folder can be made');
  });

  test('a file where the folder above should be', async () => {
    writeFileSync(parent, 'a file');
    const error = await refusalOf(writeFolder(target, filesOf(FILES), free));
    expect(error.code).toBe('CANNOT_WRITE');
    expect(readFileSync(parent, 'utf8')).toBe('a file');
  });

  const isRoot = process.getuid?.() === 0;
  test.skipIf(isRoot)(
    `a folder without permission${isRoot ? ' (skipped: root may write everywhere)' : ''}`,
    async () => {
      mkdirSync(parent);
      chmodSync(parent, 0o555);
      const error = await refusalOf(writeFolder(target, filesOf(FILES), free));
      expect(error.problems[0]!.found).toContain('may not be written');
      expect(listing(parent)).toEqual([]);
    },
  );

  // A device of the system on which every write finds no space.
  const hasFull = existsSync('/dev/full');
  test.skipIf(!hasFull)(
    `a disk that is really full${hasFull ? '' : ' (skipped: no /dev/full here)'}`,
    async () => {
      mkdirSync(parent);
      const writeFile: NonNullable<AtomicFolderOptions['writeFile']> = (_handle, bytes) =>
        appendFile('/dev/full', bytes);
      const error = await refusalOf(writeFolder(target, filesOf(FILES), { ...free, writeFile }));
      expect(error.problems[0]!.found).toBe('no space left');
      expect(listing(parent)).toEqual([]);
    },
  );
});
