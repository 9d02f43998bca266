/** Beginnings of files: in order, and more of those that need it. */
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { type Head, readHeads } from '../../src/io/read-heads.js';
import { temporaryFolder } from '../helpers/cli.js';

const folder = await temporaryFolder();

/** Bytes that start with the number of the file. */
function write(name: string, size: number, first: number): string {
  const file = path.join(folder, name);
  const bytes = Buffer.alloc(size, 7);
  bytes[0] = first;
  writeFileSync(file, bytes);
  return file;
}

function isHead(head: Head | { readonly why: string }): head is Head {
  return 'bytes' in head;
}

test('come in the order of the files, each with its own bytes', async () => {
  const files = Array.from({ length: 50 }, (_, i) => write(`order-${i}`, 100 + i, i));
  const seen: number[][] = [];
  for await (const { index, head } of readHeads(files)) {
    if (isHead(head)) seen.push([index, head.bytes[0]!, head.bytes.length, Number(head.isWhole)]);
  }
  expect(seen).toEqual(files.map((_, i) => [i, i, 100 + i, 1]));
});

test('grow fourfold when asked, to the end of the file', async () => {
  const files = [write('long', 600_000, 1), write('after', 300_000, 2), write('short', 10, 3)];
  const sizes: number[][] = [];
  for await (const { head } of readHeads(files)) {
    if (!isHead(head)) throw new Error(head.why);
    let part: Head = head;
    const grown = [part.bytes.length];
    while (!part.isWhole) {
      part = await part.more();
      grown.push(part.bytes.length);
    }
    expect(part.bytes[0]).toBe(sizes.length + 1);
    expect(part.bytes.at(-1)).toBe(part.bytes.length === 1 ? part.bytes[0] : 7);
    sizes.push(grown);
  }
  expect(sizes).toEqual([[65_536, 262_144, 600_000], [65_536, 262_144, 300_000], [10]]);
});

test('once more was needed, later files are read longer at once', async () => {
  const files = Array.from({ length: 20 }, (_, i) => write(`usual-${i}`, 200_000, i));
  const first: number[] = [];
  for await (const { head } of readHeads(files)) {
    if (!isHead(head)) throw new Error(head.why);
    first.push(head.bytes.length);
    if (!head.isWhole) await head.more();
  }
  expect(first[0]).toBe(65_536);
  expect(first.at(-1)).toBe(200_000);
});

test('what cannot be read has a reason, and the rest goes on', async () => {
  symlinkSync(path.join(folder, 'nowhere'), path.join(folder, 'link'));
  symlinkSync(path.join(folder, 'circle'), path.join(folder, 'circle'));
  mkdirSync(path.join(folder, 'folder'));
  const files = ['link', 'circle', 'folder'].map(name => path.join(folder, name));
  const results: unknown[] = [];
  for await (const { head } of readHeads([...files, write('good', 3, 1)])) {
    results.push(isHead(head) ? head.bytes.length : head.why);
  }
  expect(results).toEqual([
    'a link to a file that is not here',
    'links that lead in a circle',
    'a folder, not a file',
    3,
  ]);
});
