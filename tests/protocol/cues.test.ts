/** The study file's recorded cues. */
import { describe, expect, test } from 'vitest';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import { refusal } from '../helpers/refusal.js';

const study = (cues: string, scan = 'one'): string => `softknock: 1
study: { name: Test, contact: { email: a@example.org } }
scanner: { MagneticFieldStrength: 3 }
scans:
  - { name: ${scan}, type: localiser }
${cues}`;

const found = (text: string): string[] =>
  refusal(() => readStudyFile(text, 'study.yaml')).problems.map(problem => problem.found);

test('a folder is read, and is not needed', () => {
  expect(readStudyFile(study('cues: { folder: voices/clips }'), 'study.yaml').cues).toEqual({
    folder: 'voices/clips',
  });
  expect(readStudyFile(study(''), 'study.yaml').cues).toBeUndefined();
});

test('a scan may be named end only where no clip is', () => {
  expect(readStudyFile(study('', 'end'), 'study.yaml').scans[0]!.name).toBe('end');
  expect(found(study('cues: { folder: a }', 'end'))).toEqual([
    'a scan named end, in a study with recorded cues',
  ]);
});

describe('refused:', () => {
  test.each([
    ['cues: voices', ['cues is "voices"']],
    ['cues: {}', ['folder is missing']],
    ['cues: { folder: 3 }', ['folder is 3']],
    ['cues: { folder: a, folders: b, end: c }', expect.arrayContaining([
      'an unknown key, "folders"', 'an unknown key, "end"',
    ])], // prettier-ignore
  ])('%s', (cues, words) => {
    expect(found(study(cues))).toEqual(words);
  });

  test('with everything else that is wrong', () => {
    const text = study('cues: { folder: 3 }\nplan: { stepDb: 9 }').replace(
      '3 }\nscans',
      '99 }\nscans',
    );
    expect(found(text)).toHaveLength(3);
  });
});
