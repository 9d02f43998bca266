/** Importing 5,000 DICOM files by their headers. One run is to take less than 10 s: 0.1 runs a second. */
import { linkSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { bench, describe } from 'vitest';
import { importPaths } from '../../src/io/import-paths.js';
import { echoPlanarSlice, element, type Elements, writeDicom } from '../helpers/dicom-writer.js';

const FILES = 5000;

/** Different files of long headers; the others are links to them, which are read all the same. */
const DISTINCT = 50;

const root = mkdtempSync(path.join(tmpdir(), 'softknock-bench-'));
process.on('exit', () => {
  rmSync(root, { recursive: true, force: true });
});

/** As many private elements as scanners write. */
const many: Elements = Array.from({ length: 250 }, (_, i) =>
  element(`0029,${(0x1100 + i).toString(16)}`, 'LO', `value ${i}`),
);

/** Settings that no one reads, as most of a protocol text is. */
const text = `### ASCCONV BEGIN ###\n${Array.from(
  { length: 3000 },
  (_, i) => `sPhysioImaging.asGroup[${i}].lValue\t = \t${i}\n`,
).join('')}alTR[0]\t = \t2000000\n### ASCCONV END ###`;

function sorted(elements: Elements): Elements {
  return [...elements].sort((a, b) => (a.tag < b.tag ? -1 : 1));
}

/** Slices of 10 kB, all different: 20 series of 250 images. */
function shortHeaders(): string {
  const folder = path.join(root, 'short');
  mkdirSync(folder);
  for (let i = 0; i < FILES; i++) {
    const position = { '0020,0032': `0\\0\\${3 * (i % 25)}` };
    const elements = echoPlanarSlice(position, `${1 + (i % 20)}`, `${i}`);
    writeFileSync(
      path.join(folder, `IM${i}`),
      writeDicom(sorted([...elements, ...many]), 'explicit'),
    );
  }
  return folder;
}

/** Headers of 150 kB with a protocol text, as the longest classic ones are. */
function longHeaders(): string {
  const folder = path.join(root, 'long');
  mkdirSync(folder);
  for (let i = 0; i < FILES; i++) {
    const file = path.join(folder, `IM${i}`);
    if (i >= DISTINCT) {
      linkSync(path.join(folder, `IM${i % DISTINCT}`), file);
      continue;
    }
    const elements = echoPlanarSlice(
      {
        '0008,0070': 'SIEMENS',
        '0029,0010 LO': 'SIEMENS CSA HEADER',
        '0029,1020 OB': Buffer.from(text),
      },
      `${1 + (i % 5)}`,
      `${i}`,
    );
    writeFileSync(file, writeDicom(sorted([...elements, ...many]), 'explicit'));
  }
  return folder;
}

describe(`import ${FILES} DICOM files`, () => {
  for (const [what, folder, scans] of [
    ['headers of 10 kB', shortHeaders(), 20],
    ['headers of 150 kB', longHeaders(), 5],
  ] as const) {
    bench(
      what,
      async () => {
        const result = await importPaths([folder]);
        if (result.scans.length !== scans) throw new Error(`${result.scans.length} scans`);
      },
      { iterations: 3, time: 0, warmupIterations: 0, warmupTime: 0 },
    );
  }
});
