import { describe, expect, test } from 'vitest';
import { parseNumberTable } from '../../src/formats/number-table.js';
import { refusal } from '../helpers/refusal.js';

const parse = (text: string) => parseNumberTable(text, 'table.csv', 'BAD_STUDY');

describe('parseNumberTable', () => {
  test.each([
    ['commas', 'a,b\n1,2\n3,4.5e-1\n'],
    ['semicolons and Windows line ends', 'a;b\r\n1;2\r\n3;0.45\r\n'],
    [
      'tabs, a byte-order mark, comments and blank lines',
      '\uFEFF# made by us\nA\tB\n\n1\t2\n# and\n3\t0.45',
    ],
  ])('reads %s', (_, text) => {
    expect(parse(text)).toEqual({
      columns: ['a', 'b'],
      values: [
        [1, 3],
        [2, 0.45],
      ],
    });
  });

  test('names every wrong row by its line', () => {
    const { problems } = refusal(() => parse('a,b\n1,2\nx,4\n5\n6,\n'));
    expect(problems.map(({ where }) => where)).toEqual([
      'table.csv:3',
      'table.csv:4',
      'table.csv:5',
    ]);
  });

  test('stops listing after a few', () => {
    expect(refusal(() => parse(`a\n${'x\n'.repeat(1000)}`)).problems).toHaveLength(5);
  });
});
