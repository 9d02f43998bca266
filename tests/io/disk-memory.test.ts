/** What is kept from one run to the next: whole or not at all, never more than so much, never in the way. */
import {
  chmodSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { diskMemory } from '../../src/io/disk-memory.js';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'softknock-memory-'));
});

afterEach(() => {
  vi.unstubAllEnvs();
  rmSync(folder, { recursive: true, force: true });
});

const program = () => 'this version';
const open = (most?: number) => diskMemory(folder, most, program)!;
const entries = () => readdirSync(folder).map(name => path.join(folder, name));
const RESULT = Uint8Array.from({ length: 1000 }, (_, i) => i % 251);

test('what was kept comes back as it was, in this run and the next', () => {
  fc.assert(
    fc.property(fc.dictionary(fc.string(), fc.uint8Array()), results => {
      const memory = open();
      for (const [key, result] of Object.entries(results)) memory.keep(key, result);
      for (const [key, result] of Object.entries(results)) {
        expect(Uint8Array.from(open().recall(key)!)).toEqual(result);
      }
    }),
    { numRuns: 20 },
  );
  expect(open().recall('never kept')).toBeUndefined();
});

test('another version of the program finds nothing', () => {
  open().keep('key', RESULT);
  expect(diskMemory(folder, undefined, () => 'next version')!.recall('key')).toBeUndefined();
  expect(open().recall('key')).toBeDefined();
});

describe('a damaged entry counts as not there, and is replaced:', () => {
  const damages: Readonly<Record<string, (bytes: Buffer) => Buffer>> = {
    'a bit of its result': bytes => {
      bytes[500]! ^= 1;
      return bytes;
    },
    'a bit of its hash': bytes => {
      bytes[3]! ^= 128;
      return bytes;
    },
    'cut off': bytes => bytes.subarray(0, 700),
    'cut off within its hash': bytes => bytes.subarray(0, 20),
    longer: bytes => Buffer.concat([bytes, Buffer.from([0])]),
    empty: () => Buffer.alloc(0),
  };
  test.each(Object.keys(damages))('%s', kind => {
    open().keep('key', RESULT);
    const [file] = entries();
    writeFileSync(file!, damages[kind]!(readFileSync(file!)));
    expect(open().recall('key')).toBeUndefined();
    open().keep('key', RESULT);
    expect(entries()).toEqual([file]);
    expect(Uint8Array.from(open().recall('key')!)).toEqual(RESULT);
  });

  test('whole, but of another key', () => {
    open().keep('one', RESULT);
    const [one] = entries();
    open().keep('two', RESULT.subarray(1));
    const two = entries().find(file => file !== one)!;
    renameSync(one!, two);
    expect(open().recall('two')).toBeUndefined();
  });
});

test('there is never much more than may be; what was not used for longest goes first', () => {
  const most = 5 * (RESULT.length + 32);
  for (let i = 0; i < 5; i++) open(most).keep(`key ${i}`, RESULT);
  const before = entries();
  // All long ago, in the order of their keys; then the first is used again.
  const files = new Map<number, string>();
  for (let i = 0; i < 5; i++) {
    rmSync(folder, { recursive: true });
    open(most).keep(`key ${i}`, RESULT);
    files.set(i, entries()[0]!);
  }
  for (let i = 0; i < 5; i++) open(most).keep(`key ${i}`, RESULT);
  expect(entries()).toEqual(before);
  for (const [i, file] of files) utimesSync(file, 1000 + i, 1000 + i);
  expect(open(most).recall('key 0')).toBeDefined();
  open(most).keep('key 5', RESULT);
  open(most).keep('key 6', RESULT);
  const there = [0, 1, 2, 3, 4, 5, 6].filter(i => open(most).recall(`key ${i}`) !== undefined);
  expect(there).toEqual([0, 3, 4, 5, 6]);
});

test('one run that keeps a lot stays within it too', () => {
  const most = 5 * (RESULT.length + 32);
  const memory = open(most);
  for (let i = 0; i < 40; i++) memory.keep(`key ${i}`, RESULT);
  expect(entries().length).toBeLessThanOrEqual(5);
  expect(memory.recall('key 39')).toBeDefined();
});

test('files of others in the folder stay, and so does what another run is writing', () => {
  const other = path.join(folder, 'notes.txt');
  const fresh = path.join(folder, `${'a'.repeat(64)}.00.part`);
  const abandoned = path.join(folder, `${'b'.repeat(64)}.00.part`);
  for (const file of [other, fresh, abandoned]) writeFileSync(file, 'x'.repeat(5000));
  for (const file of [other, abandoned]) utimesSync(file, 1000, 1000);
  open(1500).keep('one', RESULT);
  open(1500).keep('two', RESULT);
  expect(entries()).toEqual(expect.arrayContaining([other, fresh]));
  expect(entries()).toHaveLength(3);
});

test('a place that cannot be written to is no error', () => {
  const file = path.join(folder, 'a-file');
  writeFileSync(file, '');
  const memory = diskMemory(path.join(file, 'below'), undefined, program)!;
  memory.keep('key', RESULT);
  expect(memory.recall('key')).toBeUndefined();
  chmodSync(folder, 0o500);
  open().keep('key', RESULT);
  open().keep('key', RESULT);
  chmodSync(folder, 0o700);
});

test.skipIf(process.platform === 'win32')('only the user reads what is kept', () => {
  const below = path.join(folder, 'below');
  diskMemory(below, undefined, program)!.keep('key', RESULT);
  const [name] = readdirSync(below);
  expect(statSync(below).mode & 0o077).toBe(0);
  expect(statSync(path.join(below, name!)).mode & 0o077).toBe(0);
});

test('SOFTKNOCK_CACHE says where; empty, nothing is kept', () => {
  expect(diskMemory()).toBeUndefined();
  vi.stubEnv('SOFTKNOCK_CACHE', path.join(folder, 'mine'));
  diskMemory()!.keep('key', RESULT);
  expect(readdirSync(path.join(folder, 'mine'))).toHaveLength(1);
  vi.stubEnv('SOFTKNOCK_CACHE', undefined);
  vi.stubEnv('XDG_CACHE_HOME', folder);
  vi.stubEnv('LOCALAPPDATA', folder);
  vi.stubEnv('HOME', folder);
  expect(diskMemory()!.recall('key')).toBeUndefined();
});
