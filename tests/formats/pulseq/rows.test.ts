/** Numbers of rows, against JavaScript's own reading of numbers. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Rows } from '../../../src/formats/pulseq/rows.js';

/** The rows of a section whose header is the first line. */
const rowsOf = (...lines: readonly string[]): Rows => {
  const text = ['[X]', ...lines].join('\n');
  return new Rows(text, 0, text.length);
};

/** The numbers of a row, until something else comes. */
function numbersOf(line: string): number[] {
  const rows = rowsOf(line);
  rows.next();
  const count = rows.readNumbers(16);
  return Array.from(rows.numbers.subarray(0, count));
}

describe('a number', () => {
  test('is exactly what JavaScript reads, however it is written', () => {
    const written = fc
      .tuple(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.integer({ min: 0, max: 20 }),
        fc.constantFrom('fixed', 'exponent', 'shortest', 'precision', 'plus'),
      )
      .map(([value, digits, form]) => {
        if (form === 'fixed') return (value % 1e6).toFixed(digits);
        if (form === 'exponent') return value.toExponential(digits);
        if (form === 'precision') return (value % 1e3).toPrecision(Math.max(1, digits));
        return form === 'plus' && value >= 0 ? `+${value}` : String(value);
      })
      .filter(text => Number.isFinite(Number(text)));
    fc.assert(
      fc.property(written, text => {
        const [value] = numbersOf(text);
        expect(Object.is(value, Number(text))).toBe(true);
      }),
      { seed: 1, numRuns: 2000 },
    );
  });

  test.each([
    'Infinity',
    '0x10',
    '1e999',
    '--1',
    '1.2.3',
    '1e',
    '.',
    '-',
    'e5',
    '1_000',
    '1,5',
    'nan',
  ])('%s is none', text => {
    expect(numbersOf(text)).toEqual([]);
  });

  test('ends before a word, which can be read after it', () => {
    const rows = rowsOf('1 2.5 excite');
    rows.next();
    expect(rows.readNumbers(16)).toBe(2);
    expect(rows.word()).toBe('excite');
    expect(rows.atEnd()).toBe(true);
  });
});

describe('rows', () => {
  test('leave out comments, and say whether an empty line came before', () => {
    const rows = rowsOf('# first', '1', '', '  # in between', '\t2  # behind', '3\r');
    const seen: [number, boolean][] = [];
    while (rows.next()) {
      rows.readNumbers(2);
      expect(rows.atEnd()).toBe(true);
      seen.push([rows.numbers[0]!, rows.afterBlank]);
    }
    expect(seen).toEqual([
      [1, false],
      [2, true],
      [3, false],
    ]);
  });

  test('end where their section does', () => {
    const text = '[A]\n1\n2\n[B]\n3\n';
    const rows = new Rows(text, 0, text.indexOf('[B]'));
    let count = 0;
    while (rows.next()) count += 1;
    expect(count).toBe(2);
  });
});
