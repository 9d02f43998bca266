/** Days as text, against the platform's own calendar. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addDays, daysBetween, isDate } from '../../src/plan/dates.js';

test.each([
  ['2027-06-14', true],
  ['2028-02-29', true],
  ['2027-02-29', false],
  ['2027-02-30', false],
  ['2027-13-01', false],
  ['2027-6-14', false],
  ['14.06.2027', false],
  ['2027-06-14T10:00', false],
  ['', false],
])('%s is a day: %s', (text, expected) => {
  expect(isDate(text)).toBe(expected);
});

test('adds days over months, leap days and years', () => {
  expect(addDays('2028-02-28', 1)).toBe('2028-02-29');
  expect(addDays('2027-12-31', 1)).toBe('2028-01-01');
  expect(addDays('2027-03-01', -1)).toBe('2027-02-28');
});

test('adding and counting are inverse', () => {
  fc.assert(
    fc.property(fc.integer({ min: -30_000, max: 30_000 }), days => {
      expect(daysBetween('2000-01-01', addDays('2000-01-01', days))).toBe(days);
    }),
    { seed: 1 },
  );
});

test('refuses what is not a day', () => {
  expect(() => addDays('2027-02-30', 1)).toThrow(RangeError);
  expect(() => daysBetween('2027-02-01', 'soon')).toThrow(RangeError);
});
