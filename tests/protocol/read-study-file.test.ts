/** The study file: what is read, and what is refused in which words. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { explainError } from '../../src/cli/print-error.js';
import { UserError } from '../../src/errors.js';
import { FAMILY_FIELDS } from '../../src/protocol/families.js';
import { FIELDS } from '../../src/protocol/fields.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import { SCAN_TYPES } from '../../src/protocol/scan.js';
import { refusal } from '../helpers/refusal.js';

const ROOT = path.resolve(import.meta.dirname, '../..');
const NIGHT_SKY = readFileSync(
  path.join(ROOT, 'sounds-synth/studies/night-sky/study.yaml'),
  'utf8',
);
const GOLDEN = path.join(import.meta.dirname, '../golden/study-file');

const HEAD = `softknock: 1
study: { name: Test, contact: { email: a@example.org } }
scanner: { MagneticFieldStrength: 3 }
`;
const read = (text: string) => readStudyFile(text, 'study.yaml');
const problems = (text: string) => refusal(() => read(text)).problems;

/** The only problem of a file. */
function problem(text: string) {
  const all = problems(text);
  expect(all).toHaveLength(1);
  return all[0]!;
}

describe('the demo study', () => {
  const study = read(NIGHT_SKY);

  test('has its eight scans in order', () => {
    expect(study.scans.map(({ name }) => name)).toEqual([
      'localiser',
      't1-brain',
      'fieldmap-gre',
      'func-rest',
      't2-brain',
      'fieldmap-epi',
      'diffusion',
      'func-film',
    ]);
  });

  test('uses the types of scan that such studies have', () => {
    const used = new Set(study.scans.map(({ type }) => type));
    expect(used.size).toBe(7);
    for (const type of used) expect(SCAN_TYPES).toContain(type);
  });

  test('lasts less than 35 minutes', () => {
    const lengths = study.scans.map(({ fields }) => {
      const { Duration, RepetitionTime, NumberOfVolumes } = fields;
      return (Duration ?? (RepetitionTime as number) * (NumberOfVolumes as number)) as number;
    });
    const totalSeconds = lengths.reduce((sum, length) => sum + length, 0);
    expect(totalSeconds).toBeGreaterThan(20 * 60);
    expect(totalSeconds).toBeLessThan(35 * 60);
  });

  test('gives values as they stand in the file, and their places', () => {
    const rest = study.scans[3]!;
    expect(rest.fields.RepetitionTime).toBe(0.9);
    const lines = NIGHT_SKY.split('\n');
    const place = rest.where('EchoSpacing');
    const line = Number(/^study\.yaml:(\d+) scans\[3\]\.EchoSpacing$/.exec(place)![1]);
    expect(lines[line - 1]).toBe('    EchoSpacing: 0.00056');
    expect(study.where(['plan', 'stepDb'])).toMatch(/^study\.yaml:\d+ plan\.stepDb$/);
  });
});

describe('defaults', () => {
  test('the language is English and the seed comes from the name', () => {
    const { study } = read(`${HEAD}scans: [{ name: a, type: localiser }]`);
    expect(study.language).toBe('en');
    expect(study.seed).toBe('Test');
  });

  test('empty plan, texts and approval are as if they were not there', () => {
    const study = read(`${HEAD}scans: [{ name: a, type: localiser }]\nplan:\ntexts:\napproval:\n`);
    expect([study.plan, study.texts, study.approval]).toEqual([{}, {}, undefined]);
  });
});

/** Lists of every type and field grow with the program: their start is enough here. */
const withoutLongLists = (text: string): string =>
  text.replace(/(allowed: (?:[^,\n]*, ){4})[^\n]*, [^\n]*, [^\n]*/g, '$1...');

describe('every problem at once', () => {
  test('in the words and the order of tests/golden/study-file/bad-study-problems.txt', async () => {
    const text = readFileSync(path.join(GOLDEN, 'bad-study-file.txt'), 'utf8');
    const error = refusal(() => readStudyFile(text, 'bad-study.yaml'));
    expect(error.code).toBe('BAD_STUDY');
    await expect(withoutLongLists(explainError(error))).toMatchFileSnapshot(
      path.join(GOLDEN, 'bad-study-problems.txt'),
    );
  });

  test('each names file and line, what was found, what is allowed, and the fix', () => {
    const text = readFileSync(path.join(GOLDEN, 'bad-study-file.txt'), 'utf8');
    const all = problems(text);
    expect(all.length).toBeGreaterThan(20);
    for (const { where, found, allowed, fix } of all) {
      expect(where).toMatch(/^study\.yaml:\d+( [\w.[\]]+)?$/);
      for (const words of [found, allowed, fix]) expect(words).not.toBe('');
      expect(fix).toMatch(/[.\w"]$/);
    }
  });
});

describe('files that are no study', () => {
  test.each([
    ['', 'nothing but blank lines or comments'],
    ['# soon\n', 'nothing but blank lines or comments'],
    ['- a\n- b\n', 'a list'],
    ['42', '42'],
    ['hello', '"hello"'],
  ])('%j', (text, found) => {
    expect(problem(text).found).toBe(found);
  });

  test('of a later format ask for a later version', () => {
    const { fix } = problems(NIGHT_SKY.replace('softknock: 1', 'softknock: 2'))[0]!;
    expect(fix).toBe('Use a newer version of softknock for this file.');
  });
});

describe('fields of scans', () => {
  const scan = (type: string, line: string): string =>
    `${HEAD}scans:\n  - name: a\n    type: ${type}\n    ${line}\n`;

  test.each(SCAN_TYPES.flatMap(type => FAMILY_FIELDS[type].map(name => [type, name] as const)))(
    'a %s may have %s, and only as the dictionary says',
    (type, name) => {
      const spec = FIELDS[name];
      const wrong = spec.kind === 'choice' || spec.kind === 'boolean' ? 'nonsense' : '-1';
      const { where, found } = problem(scan(type, `${name}: ${wrong}`));
      expect(where).toBe(`study.yaml:7 scans[0].${name}`);
      expect(found).toContain(name);
    },
  );

  test.each(
    SCAN_TYPES.flatMap(type =>
      (Object.keys(FIELDS) as (keyof typeof FIELDS)[])
        .filter(name => !FAMILY_FIELDS[type].includes(name))
        .map(name => [type, name] as const),
    ),
  )('a %s has no %s', (type, name) => {
    expect(problem(scan(type, `${name}: 1`)).found).toBe(
      `${name} in a scan of type ${type}, which does not use it`,
    );
  });

  test.each([
    ['RepetitionTime: 800', 'Write RepetitionTime: 0.8, if that is meant.'],
    ['EchoTime: "0,03"', 'Write EchoTime: 0.03, if that is meant.'],
    ['EchoTime: 30 ms', 'Write EchoTime: 0.03, if that is meant.'],
    ['PixelBandwidth: 2300 Hz', 'Write PixelBandwidth: 2300, if that is meant.'],
    ['NumberOfSlices: 60.2', 'Write NumberOfSlices: 60, if that is meant.'],
    ['NumberOfSlices:', 'Write a number, or remove NumberOfSlices.'],
    ['EchoTime: .nan', 'Correct EchoTime, or remove it if it is not known.'],
    ['EchoTime: .inf', 'Correct EchoTime, or remove it if it is not known.'],
    ['FatSaturation: yes', 'Write true or false.'],
    ['AcquisitionVoxelSize: [2, 2]', 'Give 3 values.'],
    [
      'AcquisitionVoxelSize: 2',
      'Write a list in brackets, such as AcquisitionVoxelSize: [1, 2, 3].',
    ],
    ['repetitiontime: 1', 'Write RepetitionTime if that is meant; otherwise remove it.'],
  ])('"%s" is answered with "%s"', (line, fix) => {
    expect(problem(scan('echo-planar', line)).fix).toBe(fix);
  });
});

describe('ceilings', () => {
  const withCeiling = (ceiling: string): string =>
    `${HEAD}scans: [{ name: a, type: localiser }]\nplan: { ceiling: ${ceiling} }\n`;

  test('up to 65 dBA need nobody', () => {
    expect(read(withCeiling('{ laeqDba: 65 }')).plan.ceiling).toEqual({ laeqDba: 65 });
  });

  test('above need a name, a reason and a date, all of them', () => {
    const { found } = problem(withCeiling('{ laeqDba: 66, approvedBy: A. Udiologist }'));
    expect(found).toBe('a ceiling of 66 dBA without reason, date');
    const whole =
      '{ laeqDba: 66, approvedBy: A. Udiologist, reason: calibrated, date: 2027-01-31 }';
    expect(read(withCeiling(whole)).plan.ceiling?.laeqDba).toBe(66);
  });
});

describe('names of scans in the plan', () => {
  const withPlan = (plan: string): string =>
    `${HEAD}scans: [{ name: a, type: localiser }, { name: b, type: localiser }]\nplan: ${plan}\n`;

  test.each([
    ['{ order: [a, c] }', '"c", which is no scan of this study'],
    ['{ order: [a, a] }', '"a" a second time'],
    ['{ leaveOut: [a, b] }', 'every scan of the study'],
  ])('%s', (plan, found) => {
    expect(problem(withPlan(plan)).found).toBe(found);
  });
});

describe('random files', () => {
  /** Values like those of a study file, in wrong places. */
  const value = fc.letrec(tie => ({
    any: fc.oneof(
      { maxDepth: 3 },
      fc.string({ maxLength: 10 }),
      fc.double(),
      fc.boolean(),
      fc.constant(null),
      fc.array(tie('any'), { maxLength: 4 }),
      fc.dictionary(
        fc.constantFrom(
          'name',
          'type',
          'EchoTime',
          'scans',
          'plan',
          'order',
          'contact',
          '__proto__',
          'ceiling',
          'x',
        ),
        tie('any'),
        { maxKeys: 5 },
      ),
    ),
  })).any;
  const file = fc.record(
    {
      softknock: value,
      study: value,
      scanner: value,
      scans: value,
      plan: value,
      texts: value,
      approval: value,
    },
    { requiredKeys: [] },
  );

  test('are read or refused as BAD_STUDY, and nothing else happens', () => {
    let refused = 0;
    fc.assert(
      fc.property(file, content => {
        try {
          // JSON is YAML (YAML 1.2.2, 1.1).
          read(JSON.stringify(content));
        } catch (error) {
          expect(error).toBeInstanceOf(UserError);
          expect((error as UserError).code).toBe('BAD_STUDY');
          expect((error as UserError).problems.length).toBeGreaterThan(0);
          refused++;
        }
      }),
      { numRuns: 600, seed: 2 },
    );
    expect(refused).toBeGreaterThan(500);
  });

  test('as are damaged copies of the demo study', () => {
    const damage = fc.record({
      at: fc.nat(NIGHT_SKY.length),
      remove: fc.nat(20),
      insert: fc.string({ unit: fc.constantFrom(...':-[]{}"# \n\tae0.'.split('')), maxLength: 5 }),
    });
    fc.assert(
      fc.property(damage, ({ at, remove, insert }) => {
        try {
          read(NIGHT_SKY.slice(0, at) + insert + NIGHT_SKY.slice(at + remove));
        } catch (error) {
          expect(error).toBeInstanceOf(UserError);
        }
      }),
      { numRuns: 150, seed: 3 },
    );
  });
});
