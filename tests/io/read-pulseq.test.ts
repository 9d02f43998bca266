/** Pulseq files as scans of a study, from the disk to the sound; and what is said when they cannot be. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { timelineDurationSeconds } from '../../src/gradients/timeline.js';
import { importPaths } from '../../src/io/import-paths.js';
import { kitStudyOf } from '../../src/io/kit-study.js';
import { type LoadedStudy, loadStudy } from '../../src/io/load-study.js';
import { readPulseq } from '../../src/io/read-pulseq.js';
import { draftOfImport } from '../../src/import/import-draft.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import { writeStudyFile } from '../../src/protocol/write-study-file.js';
import { collect } from '../../src/signal/sound.js';
import { describeStudy } from '../../src/study/describe-study.js';
import { gradientEchoSequence } from '../helpers/generated-sequence.js';
import { refusalOf } from '../helpers/refusal.js';
import { SILENT, TINY_1_2_1, TINY_1_4_2 } from '../helpers/tiny-sequences.js';

const folder = mkdtempSync(path.join(tmpdir(), 'softknock-pulseq-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

function file(name: string, content: string | Uint8Array): string {
  const full = path.join(folder, name);
  mkdirSync(path.dirname(full), { recursive: true });
  writeFileSync(full, content);
  return full;
}

/** A study file with one scan for each sequence, named a, b ... */
const studyOf = (name: string, sequences: readonly string[]): string =>
  file(
    name,
    `softknock: 1
study: { name: Test study, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: 3 }
scans:
${sequences.map((one, i) => `  - { name: ${'abc'[i]!}, type: pulseq, file: "${one}" }\n`).join('')}`,
  );

const samplesOf = (study: LoadedStudy, scan: string, durationSeconds: number): Float64Array =>
  collect(study.scanSound(scan, { durationSeconds, perspective: 'bore' }));

const echoes = gradientEchoSequence({ repetitions: 250, repetitionSeconds: 0.012 });

describe('a study with Pulseq files', () => {
  file('sequences/gradient echo+.seq', echoes);
  file('sequences/silent.seq', SILENT);
  const where = studyOf('study.yaml', ['sequences/gradient echo+.seq', './sequences/silent.seq']);

  test('plays them for as long as they last, and sounds them', async () => {
    const study = await loadStudy(where);
    const lengthsSeconds = study.scans.map(({ played }) =>
      timelineDurationSeconds(played.timeline),
    );
    expect(lengthsSeconds[0]).toBeCloseTo(3, 9);
    expect(lengthsSeconds[1]).toBeCloseTo(0.5, 9);
    const { scan } = study.scans[0]!;
    expect([scan.type, scan.plainName, scan.fields]).toEqual(['pulseq', 'Study scan', {}]);
    const loud = samplesOf(study, 'a', 2);
    const background = samplesOf(study, 'b', 0.5);
    const rms = (x: Float64Array): number =>
      Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
    expect(rms(loud)).toBeGreaterThan(20 * rms(background));
  });

  test('one without gradients is the background alone: no silence, no NaN', async () => {
    const study = await loadStudy(where);
    const samples = samplesOf(study, 'b', 0.5);
    expect(samples).toHaveLength(22_050);
    expect(samples.every(Number.isFinite)).toBe(true);
    const pause = collect(study.pauseSound({ durationSeconds: 30, perspective: 'bore' }));
    // The same loop of background that a pause begins with.
    expect(samples.every((x, n) => x === pause[n]!)).toBe(true);
    expect(samples.some(x => x !== 0)).toBe(true);
  });

  test('is described: tones, rhythm, levels; none where there is nothing', async () => {
    const study = await loadStudy(where);
    const { scans } = describeStudy('Test study', study);
    expect(scans[0]!.rhythm[0]!.hertz).toBeCloseTo(1 / 0.012, 6);
    expect(scans[0]!.tones.length).toBeGreaterThan(2);
    expect([scans[1]!.tones, scans[1]!.rhythm]).toEqual([[], []]);
    for (const { levels } of scans) {
      expect(Number.isFinite(levels.boreLaeqDba.expected)).toBe(true);
    }
  });

  test('has another protocol hash when a file changes, and the same when it does not', async () => {
    const hash = async (): Promise<string> => kitStudyOf(await loadStudy(where)).protocolHash;
    const before = await hash();
    expect(await hash()).toBe(before);
    file('sequences/silent.seq', `${SILENT}# A comment\n`);
    expect(await hash()).not.toBe(before);
    file('sequences/silent.seq', SILENT);
    expect(await hash()).toBe(before);
  });
});

describe('refusals', () => {
  test('a file that is missing is a problem of the line that names it', async () => {
    const error = await refusalOf(loadStudy(studyOf('missing.yaml', ['none.seq'])));
    expect([error.code, error.exitCode]).toEqual(['BAD_PROTOCOL', 2]);
    expect(error.problems).toEqual([
      expect.objectContaining({
        where: 'missing.yaml:5 scans[0].file',
        found: 'no such file',
      }),
    ]);
  });

  test('every file that is wrong is told, each with its own lines', async () => {
    file('bad-a.seq', TINY_1_4_2.replace('3 851520 3', '3 851520 9'));
    file('bad-b.seq', 'not a sequence');
    const study = studyOf('bad.yaml', ['bad-a.seq', 'bad-b.seq']);
    const error = await refusalOf(loadStudy(study));
    expect(error.problems.map(({ where }) => where)).toEqual([
      'bad-a.seq:25 [GRADIENTS]',
      'bad-b.seq:1 [VERSION]',
    ]);
  });

  test('the binary form, whatever bytes follow, and a folder', async () => {
    const binary = file('binary.seq', Uint8Array.of(1, ...Buffer.from('pulseq'), 2, 0xff, 0, 0xfe));
    const [problem] = (await refusalOf(readPulseq(binary))).problems;
    expect(problem!.found).toBe('a Pulseq file in binary form');
    expect((await refusalOf(readPulseq(folder))).code).toBe('CANNOT_READ');
  });

  test('letters of other encodings in comments are no reason', async () => {
    const latin = file('latin.seq', Buffer.from(`# Größe in µm\n${TINY_1_2_1}`, 'latin1'));
    expect((await readPulseq(latin)).sequence.blocks.count).toBe(6);
  });
});

describe('import', () => {
  test('makes a study file that plays, with the path from where it will lie', async () => {
    const given = [file('in/My Sequence (2).seq', echoes), file('in/my sequence 2.SEQ', SILENT)];
    const result = await importPaths(given, path.join(folder, 'out'));
    expect(result.skipped).toEqual([]);
    expect(result.scans.map(({ name, type, file: named }) => [name, type, named])).toEqual([
      ['my-sequence-2', 'pulseq', '../in/My Sequence (2).seq'],
      ['my-sequence-2-2', 'pulseq', '../in/my sequence 2.SEQ'],
    ]);
    const text = writeStudyFile(draftOfImport(result));
    expect(readStudyFile(text, 'study.yaml').scans[0]).toMatchObject({
      type: 'pulseq',
      file: '../in/My Sequence (2).seq',
    });
    const study = await loadStudy(file('out/study.yaml', text));
    expect(study.scans.map(({ scan }) => scan.name)).toEqual(['my-sequence-2', 'my-sequence-2-2']);
  });

  test('names what cannot be played and why, and goes on', async () => {
    const bad = file('in/bad.seq', 'hello');
    const good = file('in/good.seq', TINY_1_2_1);
    const { scans, skipped } = await importPaths([bad, good, path.join(folder, 'in/none.seq')]);
    expect(scans.map(({ name }) => name)).toEqual(['good']);
    expect(skipped.map(({ why }) => why)).toEqual([
      expect.stringContaining('bad.seq:1 [VERSION]: no section [VERSION]'),
      expect.stringContaining('no such file'),
    ]);
  });

  test('a name without letters becomes one', async () => {
    const { scans } = await importPaths([file('in/---.seq', TINY_1_2_1)]);
    expect(scans[0]!.name).toBe('sequence');
  });
});
