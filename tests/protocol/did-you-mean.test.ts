/** Words that were probably meant. */
import { expect, test } from 'vitest';
import { didYouMean } from '../../src/protocol/did-you-mean.js';

const WORDS = ['RepetitionTime', 'EchoTime', 'EchoTime1', 'EchoSpacing', 'name', 'type'];

test.each([
  ['repetitiontime', 'RepetitionTime'],
  ['RepetionTime', 'RepetitionTime'],
  ['EchoTiem', 'EchoTime'],
  ['Echo Time', 'EchoTime'],
  ['nmae', 'name'],
  ['EchoTime', 'EchoTime'],
])('takes %s for %s', (word, meant) => {
  expect(didYouMean(word, WORDS)).toBe(meant);
});

test.each(['FlipAngle', 'x'.repeat(10_000), ''])('has no guess for %s', word => {
  expect(didYouMean(word, ['RepetitionTime', 'EchoSpacing'])).toBeUndefined();
});
