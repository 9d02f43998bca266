/** Minutes of sound as a gate. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { mostMinutes, tooManyMinutes } from '../../src/plan/minutes.js';

const at = (day: number) => ({ day, step: 1 });

test('the fullest day and the fullest seven days in a row count', () => {
  const sessions = [at(1), at(1), at(3), at(7), at(8), at(9), at(20)];
  // 4 minutes each: days 1 to 7 hold four of them, days 3 to 9 four, day 1 two.
  expect(mostMinutes(sessions, () => 240)).toEqual({ perDay: 8, perWeek: 16 });
  expect(mostMinutes([], () => 240)).toEqual({ perDay: 0, perWeek: 0 });
});

describe('the gate', () => {
  test('is 20 minutes a day and 120 a week, and lets through what is just that', () => {
    expect(tooManyMinutes({ perDay: 20, perWeek: 120 }, 'plan')).toEqual([]);
    expect(tooManyMinutes({ perDay: 20.1, perWeek: 120.1 }, 'plan')).toMatchObject([
      {
        where: 'plan',
        found: '20.1 minutes of sound in one day',
        allowed: 'up to 20 minutes a day',
      },
      {
        where: 'plan',
        found: '120.1 minutes of sound in one week',
        allowed: 'up to 120 minutes a week',
      },
    ]);
  });

  test('does not take what is no number for nothing', () => {
    expect(tooManyMinutes({ perDay: Number.NaN, perWeek: 0 }, 'plan')).toHaveLength(1);
  });

  test('a week is never fuller than seven of its fullest days, nor emptier than one', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ day: fc.integer({ min: 1, max: 60 }), step: fc.nat({ max: 4 }) })),
        sessions => {
          const { perDay, perWeek } = mostMinutes(sessions, step => 60 * step);
          expect(perWeek).toBeGreaterThanOrEqual(perDay);
          expect(perWeek).toBeLessThanOrEqual(7 * perDay + 1e-9);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
  });
});
