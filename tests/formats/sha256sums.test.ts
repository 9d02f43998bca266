/** Checksum files, as `sha256sum` reads them. */
import { execFileSync, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { formatSha256Sums, parseSha256Sums } from '../../src/formats/sha256sums.js';

const folder = mkdtempSync(path.join(tmpdir(), 'softknock-test-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');
const hasTool = spawnSync('sha256sum', ['--version']).status === 0;

test.skipIf(!hasTool)(
  `is checked by sha256sum${hasTool ? '' : ' (skipped: no sha256sum here)'}`,
  () => {
    writeFileSync(path.join(folder, 'b.txt'), 'beta');
    writeFileSync(path.join(folder, 'a.txt'), 'alpha');
    const text = formatSha256Sums([
      { path: 'b.txt', sha256: sha256('beta') },
      { path: 'a.txt', sha256: sha256('alpha') },
    ]);
    writeFileSync(path.join(folder, 'SHA256SUMS'), text);
    const out = execFileSync('sha256sum', ['--check', '--strict', 'SHA256SUMS'], { cwd: folder });
    expect(out.toString()).toBe('a.txt: OK\nb.txt: OK\n');
  },
);

test('is read back, Windows line ends and binary marks too', () => {
  const sums = [
    { path: 'a b.txt', sha256: sha256('1') },
    { path: 'c/d.mp3', sha256: sha256('2') },
  ];
  const text = formatSha256Sums(sums);
  expect(parseSha256Sums(text)).toEqual(sums);
  expect(parseSha256Sums(text.replaceAll('\n', '\r\n'))).toEqual(sums);
  expect(parseSha256Sums(text.replaceAll('  ', ' *'))).toEqual(sums);
  expect(parseSha256Sums('')).toEqual([]);
});

test.each([
  ['hello'],
  [`${sha256('1').slice(1)}  a.txt`],
  [`${sha256('1').toUpperCase()}  a`],
  ['\n\n'],
])('says when a text is not one: %j', text => {
  expect(parseSha256Sums(text)).toBeUndefined();
});
