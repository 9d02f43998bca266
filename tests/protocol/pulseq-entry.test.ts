/** Scans of a study file that are played from a Pulseq file: what may and must stand there. */
import { describe, expect, test } from 'vitest';
import type { Problem } from '../../src/errors.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import type { StudyFile } from '../../src/protocol/study-file.js';
import { refusal } from '../helpers/refusal.js';

const study = (scan: string): StudyFile =>
  readStudyFile(
    `softknock: 1
study: { name: Test study, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: 3 }
scans:
  - ${scan}
`,
    'study.yaml',
  );

const problemsOf = (scan: string): readonly Problem[] => refusal(() => study(scan)).problems;

test('needs its file and nothing else', () => {
  expect(study('{ name: wave, type: pulseq, file: sub folder/wave+.seq }').scans).toEqual([
    {
      name: 'wave',
      type: 'pulseq',
      file: 'sub folder/wave+.seq',
      fields: {},
      where: expect.any(Function) as unknown,
    },
  ]);
});

describe('refusals', () => {
  test('no file', () => {
    expect(problemsOf('{ name: wave, type: pulseq }')).toEqual([
      {
        where: 'study.yaml:5 scans[0].file',
        found: 'file is missing',
        allowed: 'path of a Pulseq file (.seq), from the folder of this file',
        fix: 'Add file.',
      },
    ]);
  });

  test('a file that is no text', () => {
    const [problem] = problemsOf('{ name: wave, type: pulseq, file: 7 }');
    expect(problem!.where).toBe('study.yaml:5 scans[0].file');
    expect(problem!.found).toBe('file is 7');
    expect(problem!.allowed).toContain('path of a Pulseq file (.seq)');
  });

  test('fields of sequence families', () => {
    const [problem] = problemsOf('{ name: wave, type: pulseq, file: a.seq, RepetitionTime: 2 }');
    expect(problem).toMatchObject({
      where: 'study.yaml:5 scans[0].RepetitionTime',
      found: 'RepetitionTime in a scan of type pulseq, which does not use it',
      allowed: 'name, plainName, type, file',
    });
  });

  test('keys that nobody reads', () => {
    const [problem] = problemsOf('{ name: wave, type: pulseq, file: a.seq, fil: b.seq }');
    expect(problem!.found).toBe('an unknown key, "fil"');
    expect(problem!.fix).toContain('Write file');
  });

  test('a file in a scan of a family', () => {
    const [problem] = problemsOf('{ name: rest, type: echo-planar, file: a.seq }');
    expect(problem).toMatchObject({
      where: 'study.yaml:5 scans[0].file',
      allowed: 'file in a scan of type pulseq',
      fix: 'Write type: pulseq, or remove file.',
    });
  });

  test('a slip in the type', () => {
    const [problem] = problemsOf('{ name: wave, type: pulsseq, file: a.seq }');
    expect(problem!.fix).toBe('Write type: pulseq');
  });
});
