/** Lines of plain text. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { wrapWords } from '../../src/formats/wrap-words.js';

test('words go into lines that are as full as they may be', () => {
  expect(wrapWords('one two three four', 9)).toEqual(['one two', 'three', 'four']);
  expect(wrapWords('one two', 7)).toEqual(['one two']);
  expect(wrapWords('', 7)).toEqual(['']);
});

test('nothing is lost, and no line is too long but for a word that is', () => {
  fc.assert(
    fc.property(
      fc.array(fc.stringMatching(/^[a-z]{1,12}$/), { minLength: 1 }),
      fc.integer({ min: 1, max: 30 }),
      (words, width) => {
        const lines = wrapWords(words.join(' '), width);
        expect(lines.join(' ')).toBe(words.join(' '));
        for (const line of lines) {
          if (line.includes(' ')) expect(line.length).toBeLessThanOrEqual(width);
        }
      },
    ),
    { seed: 1, numRuns: 100 },
  );
});
