/** What the command kit is asked for: everything that is wrong, at once. */
import { describe, expect, test } from 'vitest';
import { checkKitOptions, type GivenOptions } from '../../src/cli/kit-options.js';
import { refusal } from '../helpers/refusal.js';

const check = (options: Partial<GivenOptions>) => checkKitOptions({ family: 'F1', ...options });

const MEASURED = { voiceDba: '60.5', device: 'Study tablet 3', measuredBy: 'A. Name' };

describe('a measured device', () => {
  test('is level, device and name', () => {
    expect(check(MEASURED).measured).toEqual({
      voiceDba: 60.5,
      device: 'Study tablet 3',
      by: 'A. Name',
    });
    expect(check({}).measured).toBeUndefined();
  });

  test.each(['voiceDba', 'device', 'measuredBy'] as const)('without %s is none', missing => {
    const error = refusal(() => check({ ...MEASURED, [missing]: undefined }));
    expect(error.code).toBe('BAD_USAGE');
    expect(error.problems[0]!.allowed).toContain('or none');
  });

  test.each([
    ['a level that is no number', { voiceDba: 'loud' }, '--voice-dba'],
    ['a device of two lines', { device: 'a\nb' }, '--device'],
    ['an empty name', { measuredBy: '' }, '--measured-by'],
  ])('%s is refused', (_what, wrong, where) => {
    const { problems } = refusal(() => check({ ...MEASURED, ...wrong }));
    expect(problems.map(problem => problem.where)).toEqual([where]);
  });
});

describe('answers of a family', () => {
  test('are read in any order, and what is no answer is named', () => {
    expect(check({ intake: 'sound-sensitive, seizures' }).intake).toEqual([
      'seizures',
      'sound-sensitive',
    ]);
    expect(check({ intake: 'none' }).intake).toEqual([]);
    expect(check({}).intake).toBeUndefined();
    expect(refusal(() => check({ intake: 'seizure' })).problems[0]!.fix).toContain('seizures');
  });
});

describe('a hard sound', () => {
  test('is a scan and what is done about it', () => {
    expect(check({ hard: ['diffusion=alone', 't1=leave-out'] }).hardSounds).toEqual([
      { scan: 'diffusion', how: 'alone' },
      { scan: 't1', how: 'leave-out' },
    ]);
    expect(check({}).hardSounds).toEqual([]);
  });

  test.each(['diffusion', '=alone', 'diffusion=loud', 'a=alone=b'])('%s is refused', text => {
    const [problem] = refusal(() => check({ hard: [text] })).problems;
    expect(problem!.where).toBe('--hard');
    expect(problem!.allowed).toContain('leave-out, soften, alone');
  });
});

test('all problems are told at once', () => {
  const wrong = { family: '', age: '-1', scanDate: '2027-02-30', intake: 'x', clearedBy: '' };
  const { problems } = refusal(() => check(wrong));
  expect(problems.map(({ where }) => where)).toEqual([
    '--family',
    '--age',
    '--scan-date',
    '--intake',
    '--cleared-by',
  ]);
});
