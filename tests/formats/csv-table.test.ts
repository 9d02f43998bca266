/** Tables against RFC 4180, and against spreadsheets that run what looks like a formula. */
import { expect, test } from 'vitest';
import { csvTable } from '../../src/formats/csv-table.js';

test('cells are separated by commas, rows end with CR LF, null is empty', () => {
  expect(
    csvTable([
      ['a', 1, null],
      ['b', -2.5, 3],
    ]),
  ).toBe('a,1,\r\nb,-2.5,3\r\n');
});

test('commas, quotes and line breaks are quoted (RFC 4180, 2.6 and 2.7)', () => {
  expect(csvTable([['a,b', 'say "x"', 'two\nlines']])).toBe('"a,b","say ""x""","two\nlines"\r\n');
});

test.each(['=1+1', '+1', '-1', '@x', '\tx'])(
  '%j is text, not a formula; a negative number stays one',
  cell => {
    expect(csvTable([[cell]])).toBe(`'${cell}\r\n`);
    expect(csvTable([[-1]])).toBe('-1\r\n');
  },
);
