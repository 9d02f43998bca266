/** Tables against RFC 4180 and Python's csv module, and against what breaks readers of them. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Delimiter, DELIMITERS, parseCsv } from '../../src/formats/csv.js';

const cellsOf = (text: string, delimiter: Delimiter = ','): (readonly string[])[] =>
  parseCsv(text, delimiter).map(({ cells }) => cells);

const vector = (name: string): string =>
  readFileSync(path.join(import.meta.dirname, '../vectors/python-csv', name), 'utf8');

describe('the examples of RFC 4180, section 2', () => {
  test.each([
    ['1', 'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n', [['aaa', 'bbb', 'ccc'], ['zzz', 'yyy', 'xxx'], ['']]],
    [
      '2',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '5',
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '6',
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'b\nbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    ['7', '"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
  ])('rule %s', (_, text, rows) => {
    expect(cellsOf(text)).toEqual(rows);
  });
});

test.each([
  ['excel.csv', ','],
  ['excel-tab.tsv', '\t'],
  ['semicolons.csv', ';'],
] as const)('what Python writes is read back: %s', (name, delimiter) => {
  const [header, ...rows] = cellsOf(vector(name), delimiter);
  expect(header!.slice(0, 3)).toEqual(['kit', 'step', 'date']);
  const written = JSON.parse(vector('rows.json')) as string[][];
  expect(rows).toEqual([...written, ['']]);
});

test('line ends may be mixed; lines are counted through line breaks in cells', () => {
  const rows = parseCsv('a,b\r\n"1\n\n2",3\r4,5\n\r\n6,"7\r\n8"\r\n9', ',');
  expect(rows.map(({ line, cells }) => [line, ...cells])).toEqual([
    [1, 'a', 'b'],
    [2, '1\n\n2', '3'],
    [5, '4', '5'],
    [6, ''],
    [7, '6', '7\n8'],
    [9, '9'],
  ]);
});

describe('wrong quotation marks', () => {
  test.each([
    [
      'one that is never closed',
      'a,"b\n1,2\n3,4',
      [
        ['a', 'b'],
        ['1', '2'],
        ['3', '4'],
      ],
    ],
    [
      'text after the closing one',
      '"a" x,b\n1,"2"\n3,4',
      [
        ['a x', 'b'],
        ['1', '2'],
        ['3', '4'],
      ],
    ],
    [
      'two rows with one each',
      'a,"b\n1,2\n3,"4\n5,"6,7"',
      [
        ['a', 'b'],
        ['1', '2'],
        ['3', '4'],
        ['5', '6,7'],
      ],
    ],
  ])('%s: no row vanishes', (_, text, rows) => {
    expect(cellsOf(text)).toEqual(rows);
    const [first, ...rest] = parseCsv(text, ',').map(({ isWellQuoted }) => isWellQuoted);
    expect(first).toBe(false);
    expect(rest).toContain(true);
  });

  test('inside a cell they are plain characters', () => {
    expect(parseCsv('a "b" c,5"\n', ',')[0]).toEqual({
      line: 1,
      cells: ['a "b" c', '5"'],
      isWellQuoted: true,
    });
  });

  test('rows before the first fault are as they were', () => {
    const rows = parseCsv('"x\ny",1\n"a" b,2\n3,4', ',');
    expect(rows.map(({ line, cells }) => [line, ...cells])).toEqual([
      [1, 'x\ny', '1'],
      [3, 'a b', '2'],
      [4, '3', '4'],
    ]);
  });
});

const delimiters = fc.constantFrom(...DELIMITERS);

test('whatever the cells, a table written by the rules of RFC 4180 is read back', () => {
  const cell = fc.string({
    unit: fc.constantFrom('a', 'é', '😴', ' ', '"', ',', ';', '\t', '\n', "'", '='),
    maxLength: 6,
  });
  const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1 });
  const written = (text: string, all: boolean): string =>
    all || /[",;\t\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  fc.assert(
    fc.property(
      table,
      delimiters,
      fc.constantFrom('\r\n', '\n', '\r'),
      fc.boolean(),
      (rows, delimiter, end, all) => {
        const text = rows.map(cells => cells.map(c => written(c, all)).join(delimiter)).join(end);
        expect(cellsOf(text, delimiter)).toEqual(rows);
      },
    ),
    { seed: 12, numRuns: 500 },
  );
});

test('whatever the text, every line is in a row, and lines go up', () => {
  const text = fc.string({ unit: fc.constantFrom('a', '"', ',', ';', '\n', '\r', '\uFEFF', ' ') });
  fc.assert(
    fc.property(text, delimiters, fc.boolean(), (raw, delimiter, everyLineIsARow) => {
      const rows = parseCsv(raw, delimiter, everyLineIsARow);
      const lines = raw.replace(/^\uFEFF+/, '').split(/\r\n|\r|\n/);
      let next = 1;
      for (const { line, cells } of rows) {
        expect(line).toBe(next);
        next += cells.join('').split('\n').length;
      }
      expect(next - 1).toBe(/^\uFEFF*$/.test(raw) ? 0 : lines.length);
      // Nothing but delimiters, quotation marks, line ends and white space is lost.
      const bare = (all: string): string => all.replace(/[\s",;]/g, '');
      expect(bare(rows.flatMap(({ cells }) => cells).join(''))).toBe(bare(lines.join('')));
    }),
    { seed: 13, numRuns: 2000 },
  );
});
