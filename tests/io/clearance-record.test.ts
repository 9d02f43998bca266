/** The study's record of who cleared which kit. */
import { mkdir, readdir, readFile, stat, symlink, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { CLEARANCES_FILE, recordClearance } from '../../src/io/clearance-record.js';
import { temporaryFolder } from '../helpers/cli.js';
import { refusalOf } from '../helpers/refusal.js';

const folder = await temporaryFolder();
let count = 0;
const fresh = (): string => path.join(folder, `kits-${(count += 1)}`);

const ROW = {
  kit: 'AAAA-AAAA',
  flags: ['seizures', 'newborn'],
  clearedBy: 'A. Udiologist',
  clearedOn: '2027-05-01',
};
const HEAD = 'kit,intake,cleared_by,cleared_on\r\n';
const LINE = 'AAAA-AAAA,seizures;newborn,A. Udiologist,2027-05-01\r\n';

const contentOf = (out: string) => readFile(path.join(out, CLEARANCES_FILE), 'utf8');

describe('a clearance', () => {
  test('is a row below a head, in the folder of the kits, for its owner’s eyes', async () => {
    const out = fresh();
    expect(await recordClearance(out, ROW)).toBe(path.join(out, 'clearances.csv'));
    expect(await contentOf(out)).toBe(HEAD + LINE);
    if (process.platform !== 'win32') {
      expect((await stat(path.join(out, CLEARANCES_FILE))).mode & 0o077).toBe(0);
    }
  });

  test('is added to the others, and the same one is not added again', async () => {
    const out = fresh();
    await recordClearance(out, ROW);
    await recordClearance(out, { ...ROW, kit: 'BBBB-BBBB' });
    await recordClearance(out, ROW);
    await recordClearance(out, { ...ROW, clearedOn: '2027-05-02' });
    expect((await contentOf(out)).split('\r\n').map(line => line.split(',')[0])).toEqual([
      'kit',
      'AAAA-AAAA',
      'BBBB-BBBB',
      'AAAA-AAAA',
      '',
    ]);
  });

  test('of forty builds at the same time is kept, all under one head', async () => {
    const out = fresh();
    const kits = Array.from({ length: 40 }, (_, i) => `KIT-${i}`);
    await Promise.all(kits.map(kit => recordClearance(out, { ...ROW, kit })));
    const [head, ...rows] = (await contentOf(out)).trimEnd().split('\r\n');
    expect(`${head!}\r\n`).toBe(HEAD);
    expect(rows.map(row => row.split(',')[0]).sort()).toEqual([...kits].sort());
  });

  test('whose name a spreadsheet would take for a formula, or that holds commas, is harmless', async () => {
    const out = fresh();
    await recordClearance(out, { ...ROW, clearedBy: '=HYPERLINK("x"), MD' });
    expect(await contentOf(out)).toContain(`,"'=HYPERLINK(""x""), MD",`);
  });

  test('after a row that a crash cut off starts on a line of its own', async () => {
    const out = fresh();
    await mkdir(out);
    await writeFile(path.join(out, CLEARANCES_FILE), `${HEAD}BBBB-BB`);
    await recordClearance(out, ROW);
    expect(await contentOf(out)).toBe(`${HEAD}BBBB-BB\r\n${LINE}`);
  });
});

describe('is refused, with nothing changed,', () => {
  test('where another file has the name', async () => {
    const out = fresh();
    await mkdir(out);
    await writeFile(path.join(out, CLEARANCES_FILE), 'mine\n');
    const error = await refusalOf(recordClearance(out, ROW));
    expect(error.code).toBe('CANNOT_WRITE');
    expect(error.problems[0]!.allowed).toContain('kit,intake,cleared_by,cleared_on');
    expect(await contentOf(out)).toBe('mine\n');
  });

  test('where a folder has the name, or a link', async () => {
    const out = fresh();
    await mkdir(path.join(out, CLEARANCES_FILE), { recursive: true });
    expect((await refusalOf(recordClearance(out, ROW))).code).toBe('CANNOT_WRITE');
    const linked = fresh();
    await mkdir(linked);
    await writeFile(path.join(linked, 'elsewhere'), HEAD);
    await symlink('elsewhere', path.join(linked, CLEARANCES_FILE));
    expect((await refusalOf(recordClearance(linked, ROW))).code).toBe('CANNOT_WRITE');
    expect(await readFile(path.join(linked, 'elsewhere'), 'utf8')).toBe(HEAD);
  });

  test('where a file stands in the place of the folder', async () => {
    const out = fresh();
    await writeFile(out, 'a file');
    expect((await refusalOf(recordClearance(out, ROW))).code).toBe('CANNOT_WRITE');
    expect(await readdir(folder)).toContain(path.basename(out));
  });
});
