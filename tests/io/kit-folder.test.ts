/** Which folders may be replaced. */
import { mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { formatSha256Sums } from '../../src/formats/sha256sums.js';
import { listFiles, requireReplaceable, sha256 } from '../../src/io/kit-folder.js';
import { temporaryFolder } from '../helpers/cli.js';
import { refusalOf } from '../helpers/refusal.js';

const base = await temporaryFolder();
let count = 0;
let folder: string;

/** A folder as a kit is left: files and their checksums. */
beforeEach(() => {
  folder = path.join(base, String((count += 1)));
  mkdirSync(path.join(folder, 'steps'), { recursive: true });
  const contents = { 'kit.json': '{}', 'log.csv': 'kit,step\r\n', 'steps/step-01.mp3': 'x' };
  for (const [file, text] of Object.entries(contents)) {
    writeFileSync(path.join(folder, file), text);
  }
  const sums = Object.entries(contents).map(([file, text]) => ({
    path: file,
    sha256: sha256(text),
  }));
  writeFileSync(path.join(folder, 'SHA256SUMS'), formatSha256Sums(sums));
});

test('SHA-256 gives the standard’s value for "abc"', () => {
  // FIPS 180-2, appendix B.1.
  expect(sha256('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
});

test('files are listed with forward slashes, in order', async () => {
  expect(await listFiles(folder)).toEqual([
    'SHA256SUMS',
    'kit.json',
    'log.csv',
    'steps/step-01.mp3',
  ]);
});

describe('may be replaced', () => {
  test('nothing', async () => {
    await requireReplaceable(path.join(base, 'none'));
    await requireReplaceable(path.join(base, 'none', 'below'));
  });

  test('an empty folder', async () => {
    rmSync(folder, { recursive: true });
    mkdirSync(path.join(folder, 'inside'), { recursive: true });
    await requireReplaceable(folder);
  });

  test('a kit as it was written', async () => {
    await requireReplaceable(folder);
  });
});

describe('is never touched', () => {
  test('a kit whose plan came of a log: it may have stopped', async () => {
    const kit = '{"version":2}';
    writeFileSync(path.join(folder, 'kit.json'), kit);
    const sums = path.join(folder, 'SHA256SUMS');
    writeFileSync(sums, readFileSync(sums, 'utf8').replace(sha256('{}'), sha256(kit)));
    const { problems } = await refusalOf(requireReplaceable(folder));
    expect(problems[0]!.found).toContain('its plan was revised, and is plan 2');
  });

  test.each([
    [
      'a kit with a log that was written in',
      () => {
        writeFileSync(path.join(folder, 'log.csv'), 'kit,step\r\nK,1\r\n');
      },
      'log.csv is not as it was written',
    ],
    [
      'a kit with a note beside it',
      () => {
        writeFileSync(path.join(folder, 'note.txt'), 'x');
      },
      'note.txt was added',
    ],
    [
      'a kit that lacks a file',
      () => {
        rmSync(path.join(folder, 'steps/step-01.mp3'));
      },
      'steps/step-01.mp3 is missing',
    ],
    [
      'a kit with broken checksums',
      () => {
        writeFileSync(path.join(folder, 'SHA256SUMS'), 'x');
      },
      'SHA256SUMS',
    ],
    [
      'a folder of something else',
      () => {
        rmSync(path.join(folder, 'SHA256SUMS'));
      },
      'files that softknock did not write',
    ],
    [
      'a file',
      () => {
        rmSync(folder, { recursive: true });
        writeFileSync(folder, 'x');
      },
      'a file of that name',
    ],
    [
      'a link to a folder',
      () => {
        rmSync(folder, { recursive: true });
        symlinkSync(base, folder);
      },
      'a file of that name',
    ],
  ])('%s', async (_what, change, found) => {
    change();
    const before = readdirSync(base, { recursive: true, encoding: 'utf8' });
    const error = await refusalOf(requireReplaceable(folder));
    expect(error.code).toBe('CANNOT_WRITE');
    expect(error.problems[0]!.where).toBe(folder);
    expect(error.problems[0]!.found).toContain(found);
    expect(error.problems[0]!.fix).toContain('--out');
    expect(readdirSync(base, { recursive: true, encoding: 'utf8' })).toEqual(before);
  });
});
