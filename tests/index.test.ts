/** The library as a program outside of it uses it: by the package's name, as it was built. */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import * as library from '../src/index.js';
import { temporaryFolder } from './helpers/cli.js';

const ROOT = path.resolve(import.meta.dirname, '..');
const STUDY = path.join(ROOT, 'sounds-synth/studies/night-sky/study.yaml');

const folder = await temporaryFolder();

test('hands out these names, and no others', () => {
  // A name that goes is a break for somebody: change this list with care.
  expect(Object.keys(library).toSorted()).toEqual([
    'GATES',
    'MOST_MINUTES',
    'Meter',
    'SAMPLE_RATE_HZ',
    'ThirdOctaves',
    'UserError',
    'collect',
    'dbfsToDbSpl',
    'doseLimits',
    'dosePercent',
    'draftOfImport',
    'importPaths',
    'loadStudy',
    'makeKit',
    'measureFile',
    'measureSound',
    'prepareKit',
    'prepareRevision',
    'rankSounds',
    'soundOf',
    'verifyFolder',
    'weeklyDosePercent',
    'writeRevision',
    'writeStudyFile',
    'writeWav',
  ]);
});

test('every file that the package names is there', () => {
  const { bin, exports, files } = JSON.parse(
    readFileSync(path.join(ROOT, 'package.json'), 'utf8'),
  ) as {
    bin: Record<string, string>;
    exports: Record<string, Record<string, string>>;
    files: string[];
  };
  const named = [...Object.values(bin), ...Object.values(exports['.']!), ...files];
  expect(named.length).toBeGreaterThan(5);
  for (const file of named) expect(existsSync(path.join(ROOT, file)), file).toBe(true);
});

test('the example of the README runs, and says what it promises', () => {
  const readme = readFileSync(path.join(ROOT, 'README.md'), 'utf8');
  const [, example] = /```js\n(import [^]*?)```/.exec(readme)!;
  const code = example!.replaceAll("'study.yaml'", JSON.stringify(STUDY));
  const out = path.join(folder, 'func-rest.wav');
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--input-type=module', '--eval', code.replaceAll("'func-rest.wav'", JSON.stringify(out))],
    { cwd: ROOT, encoding: 'utf8' },
  );
  expect(stderr).toBe('');
  expect(status).toBe(0);
  const [level, dose] = stdout.trim().split('\n');
  // Echo planar imaging under hearing protection, by a model that is good to 8 dB.
  expect(Number.parseFloat(level!)).toBeGreaterThan(60);
  expect(Number.parseFloat(level!)).toBeLessThan(90);
  // ITU-T H.870: 75 dBA for 40 hours are a child's week; 65 dBA for 1 hour 0.25 % of it.
  expect(dose).toBe('0.25 %');
  expect(existsSync(out)).toBe(true);
});

test('a kit is decided on without a command line, and refused beyond a gate', async () => {
  const request = { studyFile: STUDY, family: 'F1', ageYears: 7, intake: [], today: '2027-05-20' };
  const { kitPlan } = await library.prepareKit({
    ...request,
    scanDate: '2027-06-14',
    cache: false,
  });
  expect(kitPlan.plan.steps.length).toBeGreaterThan(10);
  const refused = library.prepareKit({ ...request, scanDate: '2027-05-01' });
  await expect(refused).rejects.toBeInstanceOf(library.UserError);
});
