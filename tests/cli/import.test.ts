/** The command `import`: what is printed, what is written, what is refused. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { importCommand } from '../../src/cli/import.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import { refusalOf } from '../helpers/refusal.js';

const GOLDEN = path.join(import.meta.dirname, '../golden/import');

/** A protocol of our own invention, as a converter would describe it. */
const SIDECARS: Readonly<Record<string, object>> = {
  'sub-01/anat/sub-01_T1w.json': {
    Manufacturer: 'Siemens',
    MagneticFieldStrength: 3,
    SeriesNumber: 2,
    MRAcquisitionType: '3D',
    SequenceName: '*tfl3d1_16ns',
    RepetitionTime: 2.2,
    InversionTime: 0.95,
    EchoTime: 0.0031,
    PatientName: 'SOMEBODY^SOME',
  },
  'sub-01/func/sub-01_task-rest_bold.json': {
    Manufacturer: 'Siemens',
    MagneticFieldStrength: 3,
    SeriesNumber: 5,
    MRAcquisitionType: '2D',
    ScanningSequence: 'EP',
    ScanOptions: 'FS',
    RepetitionTime: 0.9,
    EchoTime: 0.034,
    EffectiveEchoSpacing: 0.00028,
    ParallelReductionFactorInPlane: 2,
    SliceTiming: [0, 0.3, 0.6, 0, 0.3, 0.6],
  },
  'sub-01/anat/sub-01_T2starw.json': { SeriesNumber: 9 },
};

const folder = mkdtempSync(path.join(tmpdir(), 'softknock-import-'));
for (const [file, json] of Object.entries(SIDECARS)) {
  mkdirSync(path.dirname(path.join(folder, file)), { recursive: true });
  writeFileSync(path.join(folder, file), JSON.stringify(json));
}
afterAll(() => {
  rmSync(folder, { recursive: true });
});

/** Runs the command and returns what it prints. */
async function run(...args: readonly string[]): Promise<{ out: string; err: string }> {
  const printed = { out: '', err: '' };
  const context: CliContext = {
    out: text => (printed.out += text),
    err: text => (printed.err += text),
    errIsTerminal: false,
    colour: false,
    columns: 100,
    today: () => '2027-01-31',
  };
  await importCommand(context).exitOverride().parseAsync(args, { from: 'user' });
  return printed;
}

const plain = (text: string): string => text.replaceAll(folder, '<folder>');

test('prints the study file on stdout and the summary on stderr', async () => {
  const { out, err } = await run(folder);
  await expect(out).toMatchFileSnapshot(path.join(GOLDEN, 'study-file.txt'));
  await expect(plain(err)).toMatchFileSnapshot(path.join(GOLDEN, 'summary.txt'));
  expect(readStudyFile(out, 'study.yaml').scans).toHaveLength(2);
  expect(out + err).not.toMatch(/SOMEBODY/);
});

test('--out writes the same file and prints nothing on stdout', async () => {
  const file = path.join(folder, 'study.yaml');
  const { out, err } = await run(folder, '--out', file);
  expect(out).toBe('');
  expect(err).toContain(`${file} holds placeholders`);
  expect(readFileSync(file, 'utf8')).toBe((await run(folder)).out);
});

test('--json prints one document: scans with fields, units, origins and reasons, and what is skipped', async () => {
  const { out } = await run(folder, '--json');
  const document = JSON.parse(out) as {
    scans: { name: string; type: string; fields: object[]; files: string[] }[];
    skipped: object[];
  };
  expect(document.scans.map(({ name, type }) => [name, type])).toEqual([
    ['t1', 'inversion-gradient-echo-3d'],
    ['func-rest', 'echo-planar'],
  ]);
  expect(document.scans[1]!.fields).toContainEqual({
    name: 'EchoSpacing',
    unit: 's',
    value: 0.00056,
    origin: 'derived',
    why: 'EffectiveEchoSpacing 0.28 ms x in-plane acceleration 2',
  });
  expect(document.scans[1]!.files).toEqual([
    path.join(folder, 'sub-01/func/sub-01_task-rest_bold.json'),
  ]);
  expect(document.skipped).toEqual([
    {
      file: path.join(folder, 'sub-01/anat/sub-01_T2starw.json'),
      why: 'its files do not say whether it is 2D or 3D: add MRAcquisitionType to the sidecar',
    },
  ]);
});

describe('refusals', () => {
  test('an existing file is not overwritten', async () => {
    const file = path.join(folder, 'mine.yaml');
    writeFileSync(file, 'mine');
    const error = await refusalOf(run(folder, '--out', file));
    expect([error.code, error.exitCode]).toEqual(['CANNOT_WRITE', 2]);
    expect(error.problems[0]!.fix).toBe('Choose another name.');
    expect(readFileSync(file, 'utf8')).toBe('mine');
  });

  test('a folder that does not exist is not made', async () => {
    const error = await refusalOf(run(folder, '--out', path.join(folder, 'none/study.yaml')));
    expect(error.problems[0]!.found).toBe('no such folder to write into');
  });

  test('with nothing to import, every path is answered', async () => {
    const missing = path.join(folder, 'nowhere');
    const error = await refusalOf(run(missing));
    expect([error.code, error.exitCode]).toEqual(['BAD_PROTOCOL', 2]);
    expect(error.problems).toHaveLength(1);
    expect(error.problems[0]).toMatchObject({
      where: missing,
      found: 'no such file or folder: check the path',
    });
  });
});
