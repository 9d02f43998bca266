/** From age, protocol and days to a plan with dates. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { addDays, daysBetween } from '../../src/plan/dates.js';
import { ageBandOf, makePlan, type PlanInput } from '../../src/plan/make-plan.js';
import { planConstants, presetOf } from '../helpers/plan-constants.js';
import { orderedScans } from './arbitraries.js';

const protocol = {
  scans: ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h'].map(name => ({ name, durationSeconds: 120 })),
  gentleOrder: ['h', 'g', 'f', 'e', 'd', 'c', 'b', 'a'],
};

const input: PlanInput = {
  ...protocol,
  ceilingDb: 5,
  preset: presetOf('7-9'),
  today: '2027-03-01',
};

describe('dates', () => {
  test('without a scan day the plan counts days', () => {
    const plan = makePlan(input);
    expect(plan.days).toBe(22);
    expect(plan.startDate).toBeNull();
    expect(plan.sessions.every(({ date }) => date === null)).toBe(true);
    expect(plan.droppedSteps).toEqual([]);
  });

  test('a far scan day: the plan ends the day before it and starts as late as it can', () => {
    const plan = makePlan({ ...input, scanDate: '2027-06-14' });
    expect(plan.startDate).toBe('2027-05-23');
    expect(plan.sessions.at(-1)!.date).toBe('2027-06-13');
    expect(plan.droppedSteps).toEqual([]);
    expect(plan.notes).toEqual([]);
  });

  test('a near scan day: the plan starts tomorrow, drops the top and says so', () => {
    const plan = makePlan({ ...input, scanDate: '2027-03-11' });
    expect(plan.startDate).toBe('2027-03-02');
    expect(plan.days).toBe(9);
    expect(plan.steps).toHaveLength(6);
    expect(plan.droppedSteps).toHaveLength(12);
    expect(plan.notes.join(' ')).toContain('9 days allow 6 of the 18 steps, which need 22 days');
    expect(plan.notes.join(' ')).toContain('14 dB softer');
  });

  test('a start day of the family is kept, days to spare repeat steps', () => {
    const plan = makePlan({ ...input, scanDate: '2027-06-14', startDate: '2027-05-20' });
    expect(plan.startDate).toBe('2027-05-20');
    expect(plan.days).toBe(25);
    expect(plan.droppedSteps).toEqual([]);
  });

  test('far too many days are cut at the front, with a note', () => {
    const plan = makePlan({ ...input, scanDate: '2027-06-14', startDate: '2026-01-01' });
    expect(plan.days).toBe(44);
    expect(plan.startDate).toBe(addDays('2027-06-14', -44));
    expect(plan.notes.join(' ')).toContain('starts on 2027-05-01, not on 2026-01-01');
  });

  test.each(['2027-03-01', '2027-03-02', '2027-03-04', '2020-01-01'])(
    'a scan on %s is too near for any step and is refused',
    scanDate => {
      expect(() => makePlan({ ...input, scanDate })).toThrow(UserError);
      expect(() => makePlan({ ...input, scanDate })).toThrow('too near');
    },
  );

  test('three days hold the first step', () => {
    const plan = makePlan({ ...input, scanDate: '2027-03-05' });
    expect(plan.steps).toHaveLength(1);
    expect(plan.sessions.map(({ date }) => date)).toEqual([
      '2027-03-02',
      '2027-03-03',
      '2027-03-04',
    ]);
  });
});

test('for every protocol and scan day: dates fit days, nothing new in the last 48 hours, pace as in the full plan', () => {
  const full = new Map<string, number>();
  fc.assert(
    fc.property(
      orderedScans,
      fc.constantFrom(...planConstants.bands.map(({ name }) => name)),
      fc.integer({ min: 4, max: 60 }),
      (protocol, ageBand, ahead) => {
        const preset = presetOf(ageBand);
        const scanDate = addDays(input.today, ahead);
        const plan = makePlan({ ...input, ...protocol, preset, scanDate });
        const everything = makePlan({ ...input, ...protocol, preset });
        full.set(ageBand, everything.steps.length);
        // Dropping the top and nothing else.
        expect([...plan.steps, ...plan.droppedSteps]).toEqual(everything.steps);
        expect(plan.droppedSteps.length === 0).toBe(ahead - 1 >= everything.days);
        const seen = new Set<number>();
        for (const { date, day, step } of plan.sessions) {
          expect(date).toBe(addDays(plan.startDate!, day - 1));
          const left = daysBetween(date!, scanDate);
          expect(left).toBeGreaterThanOrEqual(1);
          if (!seen.has(step)) expect(left).toBeGreaterThan(2);
          seen.add(step);
        }
        expect([...seen]).toEqual(plan.steps.map(({ number }) => number));
      },
    ),
    { seed: 1, numRuns: 60 },
  );
  expect(full.size).toBe(planConstants.bands.length);
});

describe('age bands', () => {
  test.each([
    [0, '0-1'],
    [1.9, '0-1'],
    [2, '2-3'],
    [6.99, '4-6'],
    [7, '7-9'],
    [13, '10-13'],
    [17, '14-17'],
    [18, 'adult'],
    [80, 'adult'],
  ] as const)('%d years are in the band %s', (years, name) => {
    expect(ageBandOf(years, planConstants)).toBe(name);
  });

  test.each([-1, Number.NaN])('refuses an age of %d', years => {
    expect(() => ageBandOf(years, planConstants)).toThrow(RangeError);
  });
});
