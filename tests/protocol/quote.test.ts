/** Values shown back to those who wrote them. */
import { expect, test } from 'vitest';
import { printable, quote, singleLine } from '../../src/protocol/quote.js';

test('shows values with their kind', () => {
  expect(quote('2')).toBe('"2"');
  expect(quote(2)).toBe('2');
  expect(quote(true)).toBe('true');
  expect(quote(null)).toBe('nothing');
  expect(quote(undefined)).toBe('nothing');
  expect(quote([1, 'a', [2], 4])).toBe('[1, "a", …, …]');
  expect(quote({ a: 1 })).toBe('a mapping');
});

test('sends no control character to a terminal and keeps to one short line', () => {
  expect(singleLine('a\u001b[31mb\nc\u202Ed')).toBe('a [31mb c d');
  expect(printable('x'.repeat(1000))).toHaveLength(60);
  expect(printable('x'.repeat(1000))).toMatch(/…$/);
});
