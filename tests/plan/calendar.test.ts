/** The calendar's rules, for random steps, days and limits. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type CalendarRules, daysNeeded, planSessions } from '../../src/plan/calendar.js';

const RULES: CalendarRules = {
  restDayEvery: 7,
  quietDays: 2,
  sessionsPerDay: 1,
  minutesPerDay: 20,
  minutesPerWeek: 120,
  daysPerStep: 2,
  daysPerNewStep: 1,
};

const minutes = fc.array(fc.double({ min: 0.1, max: 20, noNaN: true }), {
  minLength: 1,
  maxLength: 20,
});
const rules: fc.Arbitrary<CalendarRules> = fc.record({
  restDayEvery: fc.integer({ min: 2, max: 7 }),
  quietDays: fc.integer({ min: 2, max: 7 }),
  sessionsPerDay: fc.integer({ min: 1, max: 2 }),
  minutesPerDay: fc.constant(20),
  minutesPerWeek: fc.double({ min: 40, max: 120, noNaN: true }),
  daysPerStep: fc.integer({ min: 1, max: 4 }),
  daysPerNewStep: fc.integer({ min: 1, max: 3 }),
});
const cases = fc.record({ minutes, rules, days: fc.integer({ min: 0, max: 90 }) });

/** Days on which a step is played for the first time, by step. */
function firstDays(sessions: readonly { day: number; step: number }[]): Map<number, number> {
  const first = new Map<number, number>();
  for (const { day, step } of sessions) if (!first.has(step)) first.set(step, day);
  return first;
}

describe('a calendar', () => {
  test('takes every step in its turn, at most one new step a day', () => {
    fc.assert(
      fc.property(cases, ({ minutes, rules, days }) => {
        const sessions = planSessions(minutes, days, rules);
        let highest = 0;
        for (const { step } of sessions) {
          expect(step === highest || step === highest + 1).toBe(true);
          highest = Math.max(highest, step);
        }
        const newDays = [...firstDays(sessions).values()];
        expect(new Set(newDays).size).toBe(newDays.length);
      }),
      { seed: 1 },
    );
  });

  test('leaves the days between new steps that are asked for', () => {
    fc.assert(
      fc.property(cases, ({ minutes, rules, days }) => {
        const newDays = [...firstDays(planSessions(minutes, days, rules)).values()];
        for (const [i, day] of newDays.slice(1).entries()) {
          expect(day - newDays[i]!).toBeGreaterThanOrEqual(rules.daysPerNewStep);
        }
      }),
      { seed: 7 },
    );
  });

  test('plays nothing new on the last days', () => {
    fc.assert(
      fc.property(cases, ({ minutes, rules, days }) => {
        for (const day of firstDays(planSessions(minutes, days, rules)).values()) {
          expect(day).toBeLessThanOrEqual(days - rules.quietDays);
        }
      }),
      { seed: 2 },
    );
  });

  test('rests in every seven days and stays within the minutes of day and week', () => {
    fc.assert(
      fc.property(cases, ({ minutes, rules, days }) => {
        const sessions = planSessions(minutes, days, rules);
        const onDay = (day: number): number =>
          sessions.filter(s => s.day === day).reduce((sum, s) => sum + minutes[s.step - 1]!, 0);
        for (let day = 1; day <= days; day++) {
          expect(onDay(day)).toBeLessThanOrEqual(rules.minutesPerDay);
          const week = [0, 1, 2, 3, 4, 5, 6].map(i => onDay(day + i));
          expect(week.reduce((sum, m) => sum + m, 0)).toBeLessThanOrEqual(
            rules.minutesPerWeek + 1e-9,
          );
          if (day + 6 <= days) expect(week.some(m => m === 0)).toBe(true);
        }
      }),
      { seed: 3, numRuns: 60 },
    );
  });

  test('reaches every step in the days needed and not in one day less', () => {
    fc.assert(
      fc.property(minutes, rules, (minutes, rules) => {
        const days = daysNeeded(minutes, rules);
        expect(planSessions(minutes, days, rules).at(-1)!.step).toBe(minutes.length);
        expect(planSessions(minutes, days - 1, rules).at(-1)?.step ?? 0).toBeLessThan(
          minutes.length,
        );
      }),
      { seed: 4 },
    );
  });

  test('plays no step on more days than allowed while further steps could follow', () => {
    fc.assert(
      fc.property(cases, ({ minutes, rules, days }) => {
        const sessions = planSessions(minutes, days, rules);
        const reach = sessions.at(-1)?.step ?? 0;
        const quietFrom = days - rules.quietDays + 1;
        for (let step = 1; step < reach; step++) {
          const on = new Set(
            sessions.filter(s => s.step === step && s.day < quietFrom).map(s => s.day),
          );
          expect(on.size).toBeLessThanOrEqual(Math.max(rules.daysPerStep, rules.daysPerNewStep));
        }
      }),
      { seed: 5 },
    );
  });
});

test('fourteen short steps take eighteen days: two rest days, two quiet days', () => {
  expect(daysNeeded(Array<number>(14).fill(2), RULES)).toBe(18);
  const sessions = planSessions(Array<number>(14).fill(2), 18, RULES);
  expect(sessions.map(({ day, step }) => `${day}:${step}`).join(' ')).toBe(
    '1:1 2:2 3:3 4:4 5:5 6:6 8:7 9:8 10:9 11:10 12:11 13:12 15:13 16:14 17:14 18:14',
  );
});

test('too few days cut the top and keep the pace', () => {
  const sessions = planSessions(Array<number>(14).fill(2), 9, RULES);
  expect(sessions.map(({ day, step }) => `${day}:${step}`).join(' ')).toBe(
    '1:1 2:2 3:3 4:4 5:5 6:6 8:6 9:6',
  );
});

test('days to spare repeat steps', () => {
  const sessions = planSessions([2, 2, 2], 10, RULES);
  expect(sessions.map(({ day, step }) => `${day}:${step}`).join(' ')).toBe(
    '1:1 2:1 3:2 4:2 5:3 6:3 8:3 9:3 10:3',
  );
});

test('two sessions a day repeat the step of the day', () => {
  const sessions = planSessions([2, 2], 5, { ...RULES, sessionsPerDay: 2 });
  expect(sessions.map(({ day, step }) => `${day}:${step}`).join(' ')).toBe(
    '1:1 1:1 2:1 2:1 3:2 3:2 4:2 4:2 5:2 5:2',
  );
});

test('no day is no session', () => {
  expect(planSessions([2], 2, RULES)).toEqual([]);
  expect(planSessions([2], 3, RULES).map(({ day }) => day)).toEqual([1, 2, 3]);
});

test.each([[-1], [0.5], [401], [Number.NaN]])('refuses %d days', days => {
  expect(() => planSessions([2], days, RULES)).toThrow(RangeError);
});

test('refuses a step that no day may hold', () => {
  expect(() => daysNeeded([30], RULES)).toThrow(RangeError);
});
