/** Archives, as an independent program and another library read them. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { unzipSync } from 'fflate';
import { afterAll, expect, test } from 'vitest';
import { joinBytes } from '../../src/formats/join-bytes.js';
import { type ZipEntry, zipFiles } from '../../src/formats/zip.js';

const folder = mkdtempSync(path.join(tmpdir(), 'softknock-zip-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const ENTRIES: readonly { readonly path: string; readonly bytes: Uint8Array }[] = [
  { path: 'K/README.txt', bytes: new TextEncoder().encode('hello '.repeat(1000)) },
  {
    path: 'K/steps/Größe 步.mp3',
    bytes: Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919) % 256),
  },
  { path: 'K/empty.csv', bytes: new Uint8Array(0) },
];

/** In two pieces each, as long files come. */
const piecewise = ({ path, bytes }: (typeof ENTRIES)[number]): ZipEntry => ({
  path,
  pieces: [bytes.subarray(0, 1000), bytes.subarray(1000)],
});

async function pack(entries: typeof ENTRIES = ENTRIES): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  // eslint-disable-next-line @typescript-eslint/require-await -- files come in over time elsewhere
  async function* given() {
    yield* entries.map(piecewise);
  }
  for await (const piece of zipFiles(given())) pieces.push(piece);
  return joinBytes(pieces);
}

test('comes back whole, names in any script', async () => {
  const files = unzipSync(await pack());
  expect(Object.keys(files)).toEqual(ENTRIES.map(entry => entry.path));
  for (const entry of ENTRIES) expect(Buffer.compare(files[entry.path]!, entry.bytes)).toBe(0);
});

const python = spawnSync('python3', ['--version']).status === 0;
test.skipIf(!python)(
  `is read by Python's zipfile${python ? '' : ' (skipped: no python3 here)'}`,
  async () => {
    const file = path.join(folder, 'a.zip');
    writeFileSync(file, await pack());
    const check =
      'import sys, zipfile; z = zipfile.ZipFile(sys.argv[1]); assert z.testzip() is None; z.extractall(sys.argv[2]); print([i.date_time for i in z.infolist()])';
    const out = execFileSync('python3', ['-c', check, file, path.join(folder, 'out')]).toString();
    expect(out.trim()).toBe(`[${Array(3).fill('(2000, 1, 1, 0, 0, 0)').join(', ')}]`);
    expect(readdirSync(path.join(folder, 'out/K/steps'))).toEqual(['Größe 步.mp3']);
    expect(readFileSync(path.join(folder, 'out/K/README.txt'), 'utf8')).toHaveLength(6000);
  },
);

test('has the same bytes every time, in every time zone', async () => {
  const here = await pack();
  expect(Buffer.compare(await pack(), here)).toBe(0);
  const zone = process.env['TZ'];
  process.env['TZ'] = 'Pacific/Kiritimati';
  expect(Buffer.compare(await pack(), here)).toBe(0);
  if (zone === undefined) delete process.env['TZ'];
  else process.env['TZ'] = zone;
});

test('stores audio and packs text', async () => {
  const [text] = ENTRIES;
  expect((await pack([text!])).length).toBeLessThan(300);
  expect((await pack([ENTRIES[1]!])).length).toBeGreaterThan(5000);
});
