/**
 * What no log can do: ten thousand families, most of whom keep to the plan and some of whom do not,
 * on ladders of every band and preset.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addDays, daysBetween } from '../../src/plan/dates.js';
import { judgeSession, OUTCOMES } from '../../src/practice/judge-session.js';
import { buildLadder } from '../../src/plan/ladder.js';
import { type LogEntry, SIGNS } from '../../src/practice/log-entry.js';
import { calendarRules } from '../../src/plan/make-plan.js';
import { nextSessions } from '../../src/practice/next-sessions.js';
import type { Step } from '../../src/plan/plan.js';
import {
  replayLog,
  type ReplayInput,
  type SessionDecision,
} from '../../src/practice/replay-log.js';
import { PRESETS } from '../../src/protocol/plan-preset.js';
import { planConstants, presetOf } from '../helpers/plan-constants.js';

const FIRST_DAY = '2027-03-01';
const CEILING_DB = 5;

const ladders = planConstants.bands.flatMap(({ name }) =>
  PRESETS.flatMap(preset =>
    [[], [{ scan: 'b', how: 'alone' as const }]].map(hardSounds => {
      const scans = ['a', 'b', 'c'].map(name => ({ name, durationSeconds: 120 }));
      const gentleOrder = ['c', 'a', 'b'];
      const used = presetOf(name, preset);
      const input = { scans, gentleOrder, hardSounds, ceilingDb: CEILING_DB, preset: used };
      return { steps: buildLadder(input).steps, rules: calendarRules(used.constants, used.band) };
    }),
  ),
);

const mostly = <T>(usual: T, ...rare: T[]): fc.Arbitrary<T> =>
  fc.oneof(
    { weight: 30, arbitrary: fc.constant(usual) },
    { weight: 1, arbitrary: fc.constantFrom(...rare) },
  );
/** Children differ: some find it easy, some just all right, some one thing one day and another the next. */
const MARKS: readonly (readonly (number | null)[])[] = [
  [0, 0, 1, 1, 2, 2, 3, 6, null],
  [3, 3, 4, 4, 5, 5, 2],
  [0, 0, 1, 1, 2, 2, 3, 4, 5, 6, 7, 8, 10, null],
];

/** What a family does one after another: how many days later, at which step, how it goes. */
const practice = (mark: fc.Arbitrary<number | null>) =>
  fc.record({
    daysLater: fc.constantFrom(0, 1, 1, 1, 1, 2, 2, 3, 5),
    time: fc.constantFrom('08:00', '17:30', '18:00', null),
    /** Steps above the one that is due. */
    off: fc.constantFrom(0, 0, 0, 0, 0, 0, -1, -2, 1, 2, 6),
    volumeSet: mostly<boolean | null>(true, false, null),
    completed: mostly<boolean | null>(true, false, null),
    childRating: mark,
    parentRating: mark,
    signs: fc.oneof(
      { weight: 40, arbitrary: fc.constant([]) },
      { weight: 2, arbitrary: fc.subarray([...SIGNS].slice(0, 5), { maxLength: 2 }) },
      { weight: 1, arbitrary: fc.subarray([...SIGNS], { maxLength: 1 }) },
    ),
    stoppedBy: mostly<LogEntry['stoppedBy']>(null, 'child', 'parent', 'outside'),
    interrupted: mostly<boolean | null>(false, true, null),
    volumeTouched: mostly<boolean | null>(false, true, null),
    isDoubtful: mostly(false, true),
  });

type Practice = ReturnType<typeof practice> extends fc.Arbitrary<infer T> ? T : never;

const families = fc.record({
  ladder: fc.nat(ladders.length - 1),
  practices: fc
    .constantFrom(...MARKS)
    .chain(marks => fc.array(practice(fc.constantFrom(...marks)), { maxLength: 24, size: 'max' })),
  scanAfter: fc.integer({ min: 1, max: 60 }),
  asOfLater: fc.constantFrom(0, 0, 1, 2, 5),
});

/** A family that looks, before each practice, which step is due. */
function played(
  steps: readonly Step[],
  practices: readonly Practice[],
  base: Omit<ReplayInput, 'entries' | 'asOf'>,
): { entries: readonly LogEntry[]; decisions: readonly SessionDecision[]; known: Step[] } {
  const entries: LogEntry[] = [];
  let date = FIRST_DAY;
  let decisions: readonly SessionDecision[] = [];
  const atOnce: SessionDecision[] = [];
  let due = 1;
  let known = [...steps];
  for (const { daysLater, off, ...noted } of practices) {
    date = addDays(date, daysLater);
    const at = known.findIndex(({ number }) => number === due);
    const step = known[Math.min(Math.max(at + off, 0), known.length - 1)]!.number;
    entries.push({ line: entries.length + 2, date, step, ...noted });
    const replay = replayLog({ ...base, entries, asOf: date });
    atOnce.push(replay.sessions.at(-1)!);
    decisions = replay.sessions;
    known = [...replay.steps];
    due = replay.nextStep ?? due;
  }
  // What was decided then is decided now, when more is noted.
  expect(decisions).toEqual(atOnce);
  return { entries, decisions, known };
}

test('ten thousand logs: nothing gets louder after what was hard, nothing new in a hurry, the same every time', () => {
  const seen = new Map<string, number>();
  fc.assert(
    fc.property(families, ({ ladder, practices, scanAfter, asOfLater }) => {
      const { steps, rules } = ladders[ladder]!;
      const constants = planConstants.rules;
      const base = {
        steps,
        restarts: [],
        redElsewhere: false,
        plannedBy: (date: string) => Math.max(daysBetween(FIRST_DAY, date) + 1, 1),
        rules: constants,
      };
      const { entries, decisions, known } = played(steps, practices, base);
      const byNumber = new Map(known.map(step => [step.number, step]));

      let before = 1;
      let hardAt: number | null = null;
      for (const [i, decision] of decisions.entries()) {
        const { outcome, next, action } = decision;
        seen.set(`${outcome} ${action}`, (seen.get(`${outcome} ${action}`) ?? 0) + 1);
        expect(outcome).toBe(judgeSession(entries[i]!, constants).outcome);
        if (next === null) {
          // Stopped, and it stays so.
          for (const later of decisions.slice(i)) expect(later.next).toBeNull();
          break;
        }
        const [was, now, heard] = [before, next, decision.step].map(n => byNumber.get(n)!);
        if (outcome === 'hard' || outcome === 'red') {
          for (const harder of [was!, heard!]) {
            expect(now!.levelDb).toBeLessThanOrEqual(harder.levelDb);
            expect(now!.onsetSeconds).toBeGreaterThanOrEqual(harder.onsetSeconds);
          }
          expect(now!.number).toBeLessThan(heard!.number);
          hardAt = Math.max(hardAt ?? 0, heard!.number);
        }
        if (next > before) {
          // Up only by comfortable sessions, by halves, or at the plan's own pace when nothing is open.
          const byRule = action === 'advance' || action === 'half-step';
          expect(byRule || (hardAt === null && decision.step === next)).toBe(true);
          if (action === 'advance') expect(outcome).toBe('comfortable');
          if (action === 'half-step') expect(outcome).toBe('ok');
        }
        if (hardAt !== null && next > hardAt) hardAt = null;
        before = next;
      }

      const asOf = addDays(entries.at(-1)?.date ?? FIRST_DAY, asOfLater);
      const scanDate = addDays(FIRST_DAY, scanAfter);
      const decide = () => {
        const replay = replayLog({ ...base, entries, asOf });
        const plan = nextSessions({ replay, entries, rules, startDate: FIRST_DAY, scanDate, asOf });
        return { replay, plan };
      };
      const { replay, plan } = decide();
      expect(decide()).toEqual({ replay, plan });
      if (replay.nextStep === null) expect(plan.sessions).toEqual([]);

      const place = new Map(replay.steps.map(({ number }, i) => [number, i]));
      // Where the climb begins; a softer variant is no new step.
      const due = place.get(replay.nextStep ?? steps[0]!.number)!;
      const isKnown = replay.isHeard || replay.steps[due]!.change === 'softer';
      let top = isKnown ? due : due - 1;
      const newDays: string[] = [];
      for (const [i, { date, step }] of plan.sessions.entries()) {
        expect(date! > asOf).toBe(true);
        expect(date! < scanDate).toBe(true);
        const now = replay.steps[place.get(step)!]!;
        expect(now.levelDb).toBeLessThanOrEqual(CEILING_DB);
        const climb = place.get(step)! - top;
        expect(climb).toBeLessThanOrEqual(1);
        if (climb === 1) {
          newDays.push(date!);
          top += 1;
        }
        // At most 3 dB from one session to the next, and 6 dB within 48 hours.
        for (let ago = 1; ago <= i; ago++) {
          const other = plan.sessions[i - ago]!;
          if (daysBetween(other.date!, date!) > 2) break;
          const riseDb = now.levelDb - replay.steps[place.get(other.step)!]!.levelDb;
          if (riseDb > (ago === 1 ? 3 : 6) + 1e-9) expect.fail(`${riseDb} dB up on ${date}`);
        }
      }
      expect(new Set(newDays).size).toBe(newDays.length);
      for (const date of newDays) expect(daysBetween(date, scanDate)).toBeGreaterThan(2);
    }),
    { seed: 1, numRuns: 10_000 },
  );
  // The families were of many kinds.
  for (const outcome of OUTCOMES) {
    expect([...seen.keys()].some(key => key.startsWith(outcome))).toBe(true);
  }
  for (const action of ['advance', 'repeat', 'half-step', 'back', 'back-two', 'stop']) {
    expect([...seen].some(([key, count]) => key.endsWith(` ${action}`) && count > 50)).toBe(true);
  }
});
