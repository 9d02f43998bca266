/** YAML with lines for every value; rules of YAML 1.2.2 (yaml.org/spec/1.2.2) beside each check. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { parseYaml } from '../../src/protocol/yaml-document.js';
import { refusal } from '../helpers/refusal.js';

const found = (text: string): string => refusal(() => parseYaml(text, 'f.yaml')).problems[0]!.found;

describe('what is read', () => {
  test('values of the core schema: dates and yes stay text (YAML 1.2.2, 10.3)', () => {
    const { value } = parseYaml(
      'a: 2027-01-31\nb: yes\nc: 0.5\nd: true\ne: [1, x]\nf:\n',
      'f.yaml',
    );
    expect(value).toEqual({ a: '2027-01-31', b: 'yes', c: 0.5, d: true, e: [1, 'x'], f: null });
  });

  test('a byte-order mark and Windows line ends change nothing (5.2, 5.4)', () => {
    const text = 'a: 1\nb:\n  - c: 2\n';
    const windows = `\uFEFF${text.replaceAll('\n', '\r\n')}`;
    expect(parseYaml(windows, 'f.yaml').value).toEqual(parseYaml(text, 'f.yaml').value);
    expect(parseYaml(windows, 'f.yaml').where(['b', 0, 'c'])).toBe('f.yaml:3 b[0].c');
  });

  test('an empty file and one of comments hold nothing', () => {
    expect(parseYaml('', 'f.yaml').value).toBeUndefined();
    expect(parseYaml('# nothing\n', 'f.yaml').value).toBeUndefined();
  });

  test('a key named __proto__ is a key like any other', () => {
    const { value } = parseYaml('__proto__: { polluted: 1 }\n', 'f.yaml');
    expect(Object.keys(value as object)).toEqual(['__proto__']);
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });

  test('an alias stands for its anchor (7.1)', () => {
    expect(parseYaml('a: &x [1, 2]\nb: *x\n', 'f.yaml').value).toEqual({ a: [1, 2], b: [1, 2] });
  });
});

describe('places', () => {
  const text = 'a: 1\nb:\n  - c: 2\n    d: [3,\n      4]\n';
  test.each([
    [['a'], 'f.yaml:1 a'],
    [['b'], 'f.yaml:2 b'],
    [['b', 0], 'f.yaml:3 b[0]'],
    [['b', 0, 'd'], 'f.yaml:4 b[0].d'],
    [['b', 0, 'd', 1], 'f.yaml:5 b[0].d[1]'],
  ])('of %j is %s', (path, where) => {
    expect(parseYaml(text, 'f.yaml').where(path)).toBe(where);
  });

  test('of what is not there is the nearest part that is', () => {
    expect(parseYaml(text, 'f.yaml').where(['b', 0, 'x', 'y'])).toBe('f.yaml:3 b[0].x.y');
    expect(parseYaml(text, 'f.yaml').where(['x'])).toBe('f.yaml:1 x');
  });
});

describe('what is refused, in words', () => {
  test.each([
    ['a tab as indentation (6.1)', 'a:\n\tb: 1\n', 'a tab at the start of a line'],
    ['a key twice (3.2.1.3)', 'a: 1\na: 2\n', 'the same key a second time'],
    ['two documents', 'a: 1\n---\nb: 2\n', 'a second document after ---'],
    ['a custom tag', 'a: !lab 1\n', 'Unresolved tag: !lab'],
    [
      'an unknown alias',
      'a: *b\n',
      'an alias (*name) whose anchor (&name) does not come before it',
    ],
    [
      'an alias within itself',
      'a: &a [*a]\n',
      'an alias (*name) of a part that it stands in itself',
    ],
    ['a list as a key', '? [a]\n: 1\n', 'a list or mapping as a key'],
    ['a binary file', 'a\0b', 'control characters, as in a binary file'],
    ['open quotes', 'a: "x\n', 'Missing closing "quote'],
  ])('%s', (_, text, words) => {
    expect(found(text)).toBe(words);
  });

  test('names the line', () => {
    expect(refusal(() => parseYaml('a: 1\nb: 2\na: 3\n', 'f.yaml')).problems[0]!.where).toBe(
      'f.yaml:3',
    );
  });

  test.each([
    ['brackets', '['.repeat(200_000)],
    ['braces', '{a: '.repeat(50_000)],
    ['dashes', '- '.repeat(100_000)],
    ['indentation', Array.from({ length: 2000 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')],
  ])('%s without end, before the parser runs out of stack', (_, text) => {
    expect(found(text)).toBe('more than 20 levels inside one another');
  });

  test('aliases that unfold to more values than a study can have', () => {
    const levels = 'bcdefgh'.split('').map((name, i) => {
      const before = String.fromCharCode('a'.charCodeAt(0) + i);
      return `${name}: &${name} [${Array(10).fill(`*${before}`).join(', ')}]`;
    });
    expect(found(['a: &a [1, 1, 1, 1, 1, 1, 1, 1, 1, 1]', ...levels].join('\n'))).toBe(
      'more than 100000 values, with aliases (*name) unfolded',
    );
  });

  test('a long file that is something else, before it is parsed', () => {
    expect(found('- a\n'.repeat(1_200_000))).toMatch(/^more than 100000 values/);
  });

  test('whatever it is, only as a UserError', () => {
    const junk = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 200 }),
      fc.string({
        unit: fc.constantFrom(...'ab:-[]{},&*!|>%@"\'#? \n\t1.'.split('')),
        maxLength: 200,
      }),
    );
    fc.assert(
      fc.property(junk, text => {
        try {
          parseYaml(text, 'f.yaml');
        } catch (error) {
          expect(error).toBeInstanceOf(UserError);
        }
      }),
      { numRuns: 3000, seed: 1 },
    );
  });
});
