/** What counts as a Pulseq file. */
import { expect, test } from 'vitest';
import { isPulseqText } from '../../../src/formats/pulseq/is-pulseq-text.js';

test.each([
  ['# Pulseq sequence file\n# Created by somebody\n\n[VERSION]\nmajor 1\n', true],
  ['[VERSION]\r\nmajor 1\r\n', true],
  ['\n\n  [DEFINITIONS]\n', true],
  ['\u0001pulseq\u0002\0\0', true],
  ['# just a comment\n', false],
  ['[section]\nkey=1\n', false],
  ['major 1\n[VERSION]\n', false],
  ['', false],
  ['\n'.repeat(5000), false],
  [' '.repeat(5000), false],
])('%j: %s', (text, expected) => {
  expect(isPulseqText(Buffer.from(text, 'latin1'))).toBe(expected);
});
