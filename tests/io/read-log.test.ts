/** Logs from the disk and from standard input: encodings, and what is refused in which words. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { zipSync } from 'fflate';
import { afterAll, describe, expect, test } from 'vitest';
import { readLogText } from '../../src/io/read-log.js';
import { CALM, logOf, logRow, read } from '../helpers/family-log.js';
import { refusalOf } from '../helpers/refusal.js';

const folder = mkdtempSync(path.join(tmpdir(), 'softknock-log-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

/** A file in the folder. */
function file(name: string, content: string | Uint8Array): string {
  const full = path.join(folder, name);
  writeFileSync(full, content);
  return full;
}

const NOTE = 'Müde, aber gut';

const LOG = logOf(logRow({ note: `"${NOTE}"` }));

const bigEndian = (text: string): Buffer => Buffer.from(text, 'utf16le').swap16();

describe('encodings', () => {
  test.each([
    ['UTF-8', Buffer.from(LOG)],
    ['UTF-8 with a byte-order mark', Buffer.from(`\uFEFF${LOG}`)],
    ['UTF-16, little-endian', Buffer.from(`\uFEFF${LOG}`, 'utf16le')],
    ['UTF-16, big-endian', bigEndian(`\uFEFF${LOG}`)],
    ['Latin-1, as older programs write', Buffer.from(LOG, 'latin1')],
  ])('%s', async (name, bytes) => {
    const text = await readLogText(file(`${name}.csv`, bytes));
    expect(text).toBe(LOG);
    expect(read(text).entries).toMatchObject([{ date: CALM.date, isDoubtful: false }]);
  });
});

async function* chunks(...parts: readonly Uint8Array[]): AsyncGenerator<Uint8Array> {
  for (const part of parts) yield await Promise.resolve(part);
}

test('standard input, in pieces that cut a character', async () => {
  const bytes = Buffer.from(LOG);
  const cut = bytes.indexOf(Buffer.from('ü')) + 1;
  expect(await readLogText('-', chunks(bytes.subarray(0, cut), bytes.subarray(cut)))).toBe(LOG);
});

describe('refusals', () => {
  const xlsx = zipSync({ 'xl/workbook.xml': new Uint8Array(10) });
  test.each([
    ['a file that is missing', () => path.join(folder, 'none.csv'), 'CANNOT_READ', 'no such file'],
    ['a folder', () => folder, 'CANNOT_READ', 'a folder'],
    [
      'more than 50 MB',
      () => file('large.csv', Buffer.alloc(50_000_001, ',')),
      'CANNOT_READ',
      'more than 50 MB',
    ],
    ['an empty file', () => file('empty.csv', ''), 'BAD_LOG', 'nothing'],
    ['a mark alone', () => file('mark.csv', '\uFEFF\r\n'), 'BAD_LOG', 'nothing'],
    [
      'a spreadsheet',
      () => file('log.xlsx', xlsx),
      'BAD_LOG',
      'a spreadsheet (or another ZIP file)',
    ],
    [
      // [MS-CFB] 2.2: the header signature of compound files.
      'a spreadsheet of an old kind',
      () => file('log.xls', Buffer.from('d0cf11e0a1b11ae1', 'hex')),
      'BAD_LOG',
      'a spreadsheet of an old kind',
    ],
    [
      'bytes',
      () =>
        file(
          'log.bin',
          Uint8Array.from({ length: 256 }, (_, i) => i),
        ),
      'BAD_LOG',
      'bytes that are not text',
    ],
    [
      'UTF-16 without a byte-order mark',
      () => file('utf16.csv', Buffer.from(LOG, 'utf16le')),
      'BAD_LOG',
      'bytes that are not text',
    ],
  ])('%s', async (_, make, code, found) => {
    const error = await refusalOf(readLogText(make()));
    expect([error.code, error.exitCode]).toEqual([code, 2]);
    expect(error.problems.map(problem => problem.found)).toEqual([found]);
    expect(error.problems[0]!.fix).not.toBe('');
    if (found.includes('spreadsheet')) expect(error.problems[0]!.fix).toContain('save it as CSV');
  });

  test.each([
    ['nothing', [], 'BAD_LOG', 'nothing'],
    ['too much', [1, 2, 3].map(() => new Uint8Array(20_000_000)), 'CANNOT_READ', 'more than 50 MB'],
  ])('standard input: %s', async (_, parts, code, found) => {
    const error = await refusalOf(readLogText('-', chunks(...parts)));
    expect(error.code).toBe(code);
    expect(error.problems[0]).toMatchObject({ where: 'standard input', found });
  });
});
