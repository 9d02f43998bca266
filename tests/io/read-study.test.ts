/** Study files from the disk: what cannot be read, and in which words. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { readStudy } from '../../src/io/read-study.js';
import { refusalOf } from '../helpers/refusal.js';
import { NIGHT_SKY } from '../helpers/study.js';

const folder = mkdtempSync(path.join(tmpdir(), 'softknock-study-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

/** A file in the folder. */
function file(name: string, content: string | Uint8Array): string {
  const full = path.join(folder, name);
  writeFileSync(full, content);
  return full;
}

test('the demo study is read', async () => {
  const study = await readStudy(NIGHT_SKY);
  expect(study.study.name).toBe('Night Sky Study');
  expect(study.fileName).toBe('study.yaml');
});

describe('refusals', () => {
  test.each([
    ['a file that is missing', () => path.join(folder, 'none.yaml'), 'CANNOT_READ', 'no such file'],
    [
      'a path through a file',
      () => `${file('plain', 'x')}/study.yaml`,
      'CANNOT_READ',
      'no such file',
    ],
    ['a folder', () => folder, 'CANNOT_READ', 'a folder'],
    [
      'more than 5 MB',
      () => file('large.yaml', '#'.repeat(5_000_001)),
      'CANNOT_READ',
      'more than 5 MB',
    ],
    [
      'UTF-16',
      () => file('utf16.yaml', Buffer.from('\uFEFFa: 1', 'utf16le')),
      'BAD_STUDY',
      'UTF-16 text',
    ],
    [
      'Latin-1',
      () => file('latin1.yaml', Buffer.from('name: Café', 'latin1')),
      'BAD_STUDY',
      'bytes that are not UTF-8 text',
    ],
    ['nothing', () => file('empty.yaml', ''), 'BAD_STUDY', 'nothing but blank lines or comments'],
  ] as const)('%s', async (_, make, code, found) => {
    const error = await refusalOf(readStudy(make()));
    expect([error.code, error.exitCode]).toEqual([code, 2]);
    expect(error.problems).toHaveLength(1);
    expect(error.problems[0]!.found).toBe(found);
    expect(error.problems[0]!.fix).not.toBe('');
  });
});
