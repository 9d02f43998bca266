/** Which steps the page opens. The rules stand in the practice notes, 1.7 and 2.4. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { PageData } from '../../../src/kit/page/data.js';
import { pageFunctions } from '../../helpers/page-scripts.js';

interface Practice {
  date: string;
  step: number;
  playedS: number;
  completed: boolean;
  stoppedBy: '' | 'child' | 'outside' | 'declined';
  childMark: string;
  parentMark: string;
  signs: string[];
}

interface Today {
  open: number;
  proposed: number;
  kind: string;
}

const scripts = pageFunctions(['days.js'], ['whatIsOpen', 'localDay']);
const whatIsOpen = scripts.whatIsOpen as (
  data: Pick<PageData, 'sessions' | 'scanDate'>,
  date: string,
  practices: Practice[],
) => Today;

/** One step on each of five days; 4 June is a day off. */
const DATED = {
  scanDate: '2027-06-14',
  sessions: ['2027-06-01', '2027-06-02', '2027-06-03', '2027-06-05', '2027-06-06'].map(
    (date, index) => ({ day: index + 1, date, dateInWords: date, step: index + 1 }),
  ),
};

const UNDATED = {
  scanDate: null,
  sessions: DATED.sessions.map(session => ({ ...session, date: null })),
};

const practice = (changes: Partial<Practice>): Practice => ({
  date: '2027-06-01',
  step: 1,
  playedS: 20,
  completed: true,
  stoppedBy: '',
  childMark: '1',
  parentMark: '1',
  signs: [],
  ...changes,
});

describe('by the plan’s dates', () => {
  test.each([
    ['2027-05-31', { open: 0, proposed: 0, kind: 'before' }],
    ['2027-06-01', { open: 1, proposed: 1, kind: 'practice' }],
    ['2027-06-03', { open: 3, proposed: 3, kind: 'practice' }],
    ['2027-06-04', { open: 3, proposed: 3, kind: 'rest' }],
    ['2027-06-14', { open: 5, proposed: 5, kind: 'rest' }],
    ['2027-06-15', { open: 5, proposed: 5, kind: 'over' }],
  ])('on %s with nothing noted: %o', (date, expected) => {
    expect({ ...whatIsOpen(DATED, date, []) }).toEqual(expected);
  });

  test('what was skipped is not jumped over: the next step is proposed', () => {
    expect(
      whatIsOpen(DATED, '2027-06-06', [practice({ step: 1, date: '2027-06-05' })]),
    ).toMatchObject({ open: 5, proposed: 2 });
  });

  test.each([
    ['the child said stop', { stoppedBy: 'child', completed: false }],
    ['the child covered both ears', { signs: ['ears'] }],
    ['the child marked 6', { childMark: '6' }],
    ['the parent marked 7', { parentMark: '7' }],
    ['the child pointed at “too much”', { childMark: 'much' }],
  ] as const)('when %s, one step lower is proposed', (_, changes) => {
    const last = practice({ step: 3, date: '2027-06-03', ...(changes as Partial<Practice>) });
    expect(whatIsOpen(DATED, '2027-06-05', [last]).proposed).toBe(2);
  });

  test('after three missed days, one step lower is proposed', () => {
    const last = practice({ step: 3, date: '2027-06-03' });
    expect(whatIsOpen(DATED, '2027-06-06', [last]).proposed).toBe(4);
    expect(whatIsOpen(DATED, '2027-06-07', [last]).proposed).toBe(2);
  });

  test('what the device cut off says nothing', () => {
    const cut = practice({ step: 3, date: '2027-06-03', stoppedBy: 'outside', completed: false });
    expect(whatIsOpen(DATED, '2027-06-03', [practice({ step: 2 }), cut]).proposed).toBe(3);
  });
});

describe('without dates', () => {
  test('each day with a practice opens the next day of the plan', () => {
    const done = (date: string, step: number): Practice => practice({ date, step });
    expect(whatIsOpen(UNDATED, '2030-01-01', []).open).toBe(1);
    expect(whatIsOpen(UNDATED, '2030-01-01', [done('2030-01-01', 1)]).open).toBe(1);
    expect(whatIsOpen(UNDATED, '2030-01-02', [done('2030-01-01', 1)]).open).toBe(2);
    expect(
      whatIsOpen(UNDATED, '2030-01-09', [done('2030-01-01', 1), done('2030-01-02', 2)]).open,
    ).toBe(3);
  });

  test('a day on which the child said no opens nothing', () => {
    const declined = practice({ stoppedBy: 'declined', completed: false, playedS: 0 });
    expect(whatIsOpen(UNDATED, '2027-06-02', [declined]).open).toBe(1);
  });
});

test('whatever was noted and whatever the clock says, no step above the open one is proposed', () => {
  const day = fc
    .integer({ min: 0, max: 60 })
    .map(n => new Date(Date.UTC(2027, 4, 1 + n)).toISOString().slice(0, 10));
  const noted = fc.record({
    date: day,
    step: fc.integer({ min: 1, max: 5 }),
    playedS: fc.integer({ min: 0, max: 60 }),
    completed: fc.boolean(),
    stoppedBy: fc.constantFrom(
      '' as const,
      'child' as const,
      'outside' as const,
      'declined' as const,
    ),
    childMark: fc.constantFrom('', '0', '5', '6', '10', 'fine', 'much'),
    parentMark: fc.constantFrom('', '0', '9'),
    signs: fc.subarray(['ears', 'cried', 'pain']),
  });
  fc.assert(
    fc.property(fc.constantFrom(DATED, UNDATED), day, fc.array(noted), (data, date, practices) => {
      const { open, proposed } = whatIsOpen(data, date, practices);
      const hard = practices.filter(p => p.playedS > 0 && p.stoppedBy !== 'outside').at(-1);
      expect(proposed).toBeGreaterThanOrEqual(Math.min(1, open));
      expect(proposed).toBeLessThanOrEqual(open);
      if (hard && (hard.stoppedBy === 'child' || hard.signs.length > 0)) {
        expect(proposed).toBeLessThanOrEqual(Math.max(1, hard.step - 1));
      }
    }),
    { seed: 6, numRuns: 500 },
  );
});

test('a day is the local one, also just after midnight', () => {
  const localDay = scripts.localDay as unknown as (moment: Date) => string;
  expect(localDay(new Date(2027, 0, 2, 0, 0, 1))).toBe('2027-01-02');
  expect(localDay(new Date(2027, 11, 31, 23, 59, 59))).toBe('2027-12-31');
});
