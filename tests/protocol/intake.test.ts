/** Questions before a kit, and what the answers do. */
import { describe, expect, test } from 'vitest';
import type { Problem } from '../../src/errors.js';
import {
  heldBy,
  INTAKE,
  INTAKE_FLAGS,
  presetOf,
  readIntake,
  requireCleared,
  withAge,
} from '../../src/protocol/intake.js';
import { refusal } from '../helpers/refusal.js';

function read(...words: string[]) {
  const problems: Problem[] = [];
  const flags = readIntake(words, '--intake', problem => problems.push(problem));
  return { flags, problems };
}

describe('answers', () => {
  test('are words, in any order, one by one or in a list, each counted once', () => {
    const { flags, problems } = read('seizures, ear-disease', 'seizures;newborn  sleeping-scan');
    expect(problems).toEqual([]);
    expect(flags).toEqual(['ear-disease', 'seizures', 'newborn', 'sleeping-scan']);
  });

  test('that say "none" are answers too; no answer is none', () => {
    expect(read('none')).toEqual({ flags: [], problems: [] });
    expect(read()).toEqual({ flags: undefined, problems: [] });
  });

  test.each([
    ['earache', '"earache"', 'Write one of these words.'],
    ['siezures', '"siezures"', 'Did you mean seizures?'],
    ['none,newborn', 'none beside newborn', 'Leave out none, or the others.'],
    ['', 'nothing', 'Write one of these words.'],
    [' , ;', 'nothing', 'Write one of these words.'],
    ['constructor', '"constructor"', 'Write one of these words.'],
    ['\u001b[31mred', '" [31mred"', 'Write one of these words.'],
  ])('%j is refused: %s', (word, found, fix) => {
    expect(read(word).problems).toMatchObject([{ where: '--intake', found, fix }]);
    expect(read(word).problems[0]!.allowed).toContain('none, or any of ear-disease');
  });

  test('with every problem at once', () => {
    expect(read('x', 'y,z').problems.map(({ found }) => found)).toEqual(['"x"', '"y"', '"z"']);
  });
});

describe('what they do', () => {
  test('each holds the kit or changes its preset', () => {
    expect(heldBy(INTAKE_FLAGS)).toEqual([
      'ear-disease',
      'hearing-device',
      'tinnitus-or-pain',
      'seizures',
      'head-injury',
      'scared-by-noise',
      'newborn',
    ]);
    expect(presetOf([])).toBeUndefined();
    expect(presetOf(['seizures'])).toBeUndefined();
    expect(presetOf(['sound-sensitive'])).toBe('sound-sensitive');
    expect(presetOf(['sound-sensitive', 'sleeping-scan'])).toBe('asleep');
  });

  test.each(heldBy(INTAKE_FLAGS))('%s holds a kit until a named person clears it', flag => {
    const error = refusal(() => {
      requireCleared([flag, 'sound-sensitive'], undefined, '--intake');
    });
    expect(error.code).toBe('UNSAFE');
    expect(error.exitCode).toBe(3);
    expect(error.problems).toHaveLength(1);
    expect(error.problems[0]!.where).toBe(`--intake ${flag}`);
    expect(error.problems[0]!.found).toBe(`the child ${INTAKE[flag].question}`);
    expect(error.problems[0]!.fix).toContain('--cleared-by');
    requireCleared([flag], { by: 'A. Udiologist', on: '2027-05-01' }, '--intake');
  });

  test('every answer that holds is named at once, and others hold nothing', () => {
    const flags = ['seizures', 'newborn'] as const;
    expect(
      refusal(() => {
        requireCleared(flags, undefined, 'x');
      }).problems,
    ).toHaveLength(2);
    requireCleared(['sound-sensitive', 'sleeping-scan'], undefined, 'x');
    requireCleared([], undefined, 'x');
  });
});

// WHO: a newborn is a child in the first 28 days.
test.each([
  [0, true],
  [0.07, true],
  [0.08, false],
  [7, false],
  [undefined, false],
])('a child of %s years is a newborn: %s', (ageYears, isNewborn) => {
  expect(withAge(['seizures'], ageYears).includes('newborn')).toBe(isNewborn);
  expect(withAge(['seizures'], ageYears)[0]).toBe('seizures');
});
