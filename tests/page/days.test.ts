/** Which steps the page opens. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { PageData } from '../../src/kit/screens/page-data.js';
import { pageFunctions } from '../helpers/page-scripts.js';

interface Practice {
  date: string;
  step: number;
  playedSeconds: number;
  completed: boolean;
  stoppedBy: '' | 'child' | 'outside' | 'declined' | 'parent';
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
const whatIsOpen = scripts.whatIsOpen as unknown as (
  data: Pick<PageData, 'sessions' | 'scanDate' | 'decidedOn' | 'nextStep'> & {
    steps: { number: number }[];
    asleep?: boolean;
  },
  date: string,
  practices: Practice[],
  lasting: boolean,
) => Today;

/** One step on each of five days; 4 June is a day off. */
const DATED = {
  decidedOn: null,
  nextStep: null,
  scanDate: '2027-06-14',
  steps: [1, 2, 3, 4, 5].map(number => ({ number })),
  sessions: ['2027-06-01', '2027-06-02', '2027-06-03', '2027-06-05', '2027-06-06'].map(
    (date, index) => ({ day: index + 1, date, dateInWords: date, step: index + 1 }),
  ),
};

const UNDATED = {
  decidedOn: null,
  nextStep: null,
  scanDate: null,
  steps: DATED.steps,
  sessions: DATED.sessions.map(session => ({ ...session, date: null })),
};

const practice = (changes: Partial<Practice>): Practice => ({
  date: '2027-06-01',
  step: 1,
  playedSeconds: 20,
  completed: true,
  stoppedBy: '',
  childMark: '1',
  parentMark: '1',
  signs: [],
  ...changes,
});

describe('by the plan’s dates', () => {
  test.each([
    // A family may start early: the softest step does no harm.
    ['2026-01-01', { open: 1, proposed: 1, kind: 'before' }],
    ['2027-05-31', { open: 1, proposed: 1, kind: 'before' }],
    ['2027-06-01', { open: 1, proposed: 1, kind: 'practice' }],
    ['2027-06-03', { open: 3, proposed: 3, kind: 'practice' }],
    ['2027-06-04', { open: 3, proposed: 3, kind: 'rest' }],
    ['2027-06-14', { open: 5, proposed: 5, kind: 'rest' }],
    ['2027-06-15', { open: 5, proposed: 5, kind: 'over' }],
  ])('on %s, on a device that cannot remember: %o', (date, expected) => {
    expect({ ...whatIsOpen(DATED, date, [], false) }).toEqual(expected);
  });

  test('who starts late starts with the softest step, and goes up one new step a day', () => {
    expect(whatIsOpen(DATED, '2027-06-06', [], true)).toMatchObject({ open: 5, proposed: 1 });
    const first = practice({ step: 1, date: '2027-06-06' });
    expect(whatIsOpen(DATED, '2027-06-06', [first], true).proposed).toBe(1);
    expect(whatIsOpen(DATED, '2027-06-07', [first], true).proposed).toBe(2);
    const second = practice({ step: 2, date: '2027-06-07' });
    expect(whatIsOpen(DATED, '2027-06-07', [first, second], true).proposed).toBe(2);
    expect(whatIsOpen(DATED, '2027-06-08', [first, second], true).proposed).toBe(3);
  });

  test('half steps come between whole ones, up and down', () => {
    const data = {
      ...DATED,
      steps: [1, 2, 2.5, 3, 4, 5].map(number => ({ number })),
    };
    const at = (step: number, changes: Partial<Practice> = {}): number => {
      const last = practice({ step, date: '2027-06-06', ...changes });
      return whatIsOpen(data, '2027-06-07', [last], true).proposed;
    };
    expect(at(2)).toBe(2.5);
    expect(at(2.5)).toBe(3);
    expect(at(3, { signs: ['ears'] })).toBe(2.5);
    expect(at(1, { signs: ['ears'] })).toBe(1);
  });

  test('a plan without sessions opens nothing: practice has stopped', () => {
    const stopped = { ...DATED, sessions: [] };
    expect({ ...whatIsOpen(stopped, '2027-06-03', [], true) }).toEqual({
      open: 0,
      proposed: 0,
      kind: 'stopped',
    });
  });

  test('what was skipped is not jumped over: the next step is proposed', () => {
    expect(
      whatIsOpen(DATED, '2027-06-06', [practice({ step: 1, date: '2027-06-05' })], true),
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
    expect(whatIsOpen(DATED, '2027-06-05', [last], true).proposed).toBe(2);
  });

  test('a stop in the very first moment counts as well', () => {
    const last = practice({ step: 3, date: '2027-06-03', stoppedBy: 'child', playedSeconds: 0 });
    expect(whatIsOpen(DATED, '2027-06-05', [last], true).proposed).toBe(2);
  });

  test('after three missed days, one step lower is proposed', () => {
    const last = practice({ step: 3, date: '2027-06-03' });
    expect(whatIsOpen(DATED, '2027-06-06', [last], true).proposed).toBe(4);
    expect(whatIsOpen(DATED, '2027-06-07', [last], true).proposed).toBe(2);
  });

  test('what the device cut off says nothing', () => {
    const cut = practice({ step: 3, date: '2027-06-03', stoppedBy: 'outside', completed: false });
    expect(whatIsOpen(DATED, '2027-06-03', [practice({ step: 2 }), cut], true).proposed).toBe(3);
  });
});

describe('without dates', () => {
  test('each day with a practice opens the next day of the plan', () => {
    const done = (date: string, step: number): Practice => practice({ date, step });
    expect(whatIsOpen(UNDATED, '2030-01-01', [], true).open).toBe(1);
    expect(whatIsOpen(UNDATED, '2030-01-01', [done('2030-01-01', 1)], true).open).toBe(1);
    expect(whatIsOpen(UNDATED, '2030-01-02', [done('2030-01-01', 1)], true).open).toBe(2);
    expect(
      whatIsOpen(UNDATED, '2030-01-09', [done('2030-01-01', 1), done('2030-01-02', 2)], true).open,
    ).toBe(3);
  });

  test('a day on which the child said no opens nothing', () => {
    const declined = practice({ stoppedBy: 'declined', completed: false, playedSeconds: 0 });
    expect(whatIsOpen(UNDATED, '2027-06-02', [declined], true).open).toBe(1);
  });
});

test('whatever was noted and whatever the clock says, no step above the open one is proposed', () => {
  const day = fc
    .integer({ min: 0, max: 60 })
    .map(n => new Date(Date.UTC(2027, 4, 1 + n)).toISOString().slice(0, 10));
  const noted = fc.record({
    date: day,
    step: fc.integer({ min: 1, max: 5 }),
    playedSeconds: fc.integer({ min: 0, max: 60 }),
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
      const { open, proposed } = whatIsOpen(data, date, practices, true);
      const hard = practices
        .filter(p => p.stoppedBy === 'child' || (p.playedSeconds > 0 && p.stoppedBy !== 'outside'))
        .at(-1);
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

describe('a plan that the study made from the log', () => {
  /** Made on 2 June, when step 2.5 was due: three days later it goes on. */
  const REVISED = {
    ...DATED,
    decidedOn: '2027-06-02',
    nextStep: 2.5,
    steps: [1, 2, 2.5, 3, 4, 5].map(number => ({ number })),
    sessions: ['2027-06-03', '2027-06-05', '2027-06-06'].map((date, index) => ({
      day: index + 3,
      date,
      dateInWords: date,
      step: [2.5, 2.5, 3][index]!,
    })),
  };

  test('proposes the step that was due, whatever this device remembers of the days before', () => {
    const hard = practice({ date: '2027-06-02', step: 3, signs: ['ears'] });
    for (const known of [[], [hard], [practice({ step: 1 })]]) {
      expect(whatIsOpen(REVISED, '2027-06-03', known, true)).toEqual({
        open: 2.5,
        proposed: 2.5,
        kind: 'practice',
      });
    }
  });

  test('is as gentle as any after what is noted from then on', () => {
    const hard = practice({ date: '2027-06-03', step: 2.5, signs: ['ears'] });
    expect(whatIsOpen(REVISED, '2027-06-05', [hard], true).proposed).toBe(2);
    const calm = practice({ date: '2027-06-03', step: 2.5 });
    expect(whatIsOpen(REVISED, '2027-06-06', [calm], true).proposed).toBe(3);
  });
});

describe('for a child asleep', () => {
  const night = practice({ step: 3, date: '2027-06-03' });
  const propose = (asleep: boolean, last: Partial<Practice>): number =>
    whatIsOpen({ ...DATED, asleep }, '2027-06-05', [{ ...night, ...last }], true).proposed;

  test('stirring is enough for one step back, and waking is; sleeping on leads up', () => {
    expect(propose(true, { parentMark: '4' })).toBe(2);
    expect(propose(true, { parentMark: '7' })).toBe(2);
    expect(propose(true, { parentMark: '0' })).toBe(4);
    // A child who is awake says itself what is too much.
    expect(propose(false, { parentMark: '4' })).toBe(4);
  });

  test('so is a stop by the parent, whatever the mark', () => {
    expect(propose(true, { stoppedBy: 'parent', completed: false, parentMark: '0' })).toBe(2);
  });

  test.each([
    ['an hour later', '2027-06-03T21:00', true],
    ['after midnight', '2027-06-04T01:00', true],
    ['the next evening', '2027-06-04T19:30', false],
    ['before, by a clock set back', '2027-06-03T19:00', false],
  ])('%s the sounds have played tonight: %s', (_, now, expected) => {
    const { playedTonight } = pageFunctions(['days.js'], ['playedTonight']);
    const played = { ...night, time: '20:00' };
    const ask = playedTonight as unknown as (practices: unknown[], now: Date) => boolean;
    expect(ask([played], new Date(now))).toBe(expected);
    expect(ask([{ ...played, playedSeconds: 0, stoppedBy: 'outside' }], new Date(now))).toBe(false);
  });
});
