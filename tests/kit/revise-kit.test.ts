/**
 * Plans that logs led to: families of our invention, each with its log and the whole answer in a file
 * of its own (tests/golden/revise), to be read by people who know children.
 */
import { describe, expect, test } from 'vitest';
import { reviseReport } from '../../src/cli/revise-report.js';
import type { Manifest } from '../../src/kit/manifest/manifest.js';
import {
  replayedVersion,
  revisedManifest,
  reviseKit,
  type RevisionRequest,
} from '../../src/kit/revise-kit.js';
import { readLog } from '../../src/practice/read-log.js';
import { logOf } from '../helpers/family-log.js';
import { type PlannedFamily, plannedManifest, withoutAudio } from '../helpers/planned-kit.js';
import { refusal } from '../helpers/refusal.js';

const SCHOOL_CHILD: PlannedFamily = {
  ageBand: '7-9',
  startDate: '2027-05-03',
  scanDate: '2027-05-31',
};

/** `day step marks [signs] [what else]`: a session in May 2027, in the evening unless it says `am`. */
function rowsOf(kit: string, lines: readonly string[]): string[] {
  return lines.map(text => {
    const [day, step, marks, ...rest] = text.split(' ') as [string, string, string, ...string[]];
    const [child, parent] = marks.split('/') as [string, string];
    const has = (word: string): boolean => rest.includes(word);
    const signs = rest.filter(word => /^[a-z_;]+$/.test(word) && !WORDS.includes(word)).join(';');
    const stopped = has('child') ? 'child' : has('outside') ? 'outside' : '';
    return [
      kit,
      step,
      `2027-05-${day.padStart(2, '0')}`,
      has('am') ? '08:00' : '18:00',
      has('unset') ? 'no' : 'yes',
      stopped === '' ? 'yes' : 'no',
      child === '-' ? '' : child,
      parent === '-' ? '' : parent,
      signs,
      stopped,
      stopped === 'outside' ? 'yes' : 'no',
      has('touched') ? 'yes' : 'no',
      '',
    ].join(',');
  });
}

const WORDS = ['am', 'child', 'outside', 'unset', 'touched'];

type Change = Partial<Pick<RevisionRequest, 'scanDate' | 'restart'>>;

/** A log as it came, or a decision of staff, on a day of May 2027. */
interface Chapter extends Change {
  readonly on: number;
  readonly log?: readonly string[];
}

interface Story {
  readonly name: string;
  readonly about: string;
  readonly family: PlannedFamily;
  readonly chapters: readonly Chapter[];
}

const STORIES: readonly Story[] = [
  {
    name: 'easy',
    about: 'Everything is easy; the log comes after a week.',
    family: SCHOOL_CHILD,
    chapters: [{ on: 9, log: ['3 1 1/1', '4 1 0/1', '5 2 1/0', '6 2 0/0', '7 3 2/1', '8 3 1/1'] }],
  },
  {
    name: 'twice-a-day',
    about:
      'Two sessions a day: morning and evening are different half-days, two in one evening are not.',
    family: SCHOOL_CHILD,
    chapters: [
      { on: 5, log: ['3 1 1/1 am', '3 1 1/1', '4 2 0/1 am', '4 2 1/1'] },
      { on: 6, log: ['5 3 1/1', '5 3 1/2'] },
    ],
  },
  {
    name: 'only-all-right',
    about: 'Never hard, never quite comfortable: after four times the next step comes in halves.',
    family: SCHOOL_CHILD,
    chapters: [
      { on: 7, log: ['3 1 3/2', '4 1 4/3', '5 1 3/3', '6 1 3/4'] },
      { on: 11, log: ['8 1.5 1/2', '10 1.5 2/1'] },
    ],
  },
  {
    name: 'one-hard-day',
    about: 'One step is too much: one back, two comfortable sessions, and on again.',
    family: SCHOOL_CHILD,
    chapters: [
      { on: 7, log: ['3 1 1/1', '4 1 1/1', '5 2 2/1', '6 2 1/1', '6 3 6/7 ears'] },
      { on: 11, log: ['8 2 2/2', '10 2 1/1'] },
    ],
  },
  {
    name: 'twice-back',
    about: 'Two hard sessions in a row: two steps lower, and a call.',
    family: SCHOOL_CHILD,
    chapters: [
      {
        on: 9,
        log: ['3 1 1/1', '4 2 1/1', '5 3 2/2', '6 4 7/6 cried', '8 3 6/6 asked_stop child'],
      },
    ],
  },
  {
    name: 'stopped',
    about: 'Ringing ears stop all practice; after a talk staff let it begin again, lower.',
    family: SCHOOL_CHILD,
    chapters: [
      { on: 6, log: ['3 1 1/1', '4 2 1/1', '5 3 5/4 ringing'] },
      { on: 7, log: ['6 2 0/0'] },
      { on: 8, restart: { step: 2, clearedBy: 'Dr A. Example' } },
      { on: 11, log: ['9 2 1/1', '10 2 0/1'] },
    ],
  },
  {
    name: 'too-much-from-the-start',
    about:
      'Even the first step is too much: a softer variant; that is too much as well, and it stops.',
    family: { ...SCHOOL_CHILD, ageBand: '4-6' },
    chapters: [
      { on: 4, log: ['3 1 6/7 ears'] },
      { on: 5, log: ['4 0.5 -/6 froze'] },
    ],
  },
  {
    name: 'holes-in-the-log',
    about:
      'Marks are missing, a session was interrupted, the volume changed: nothing counts as comfortable.',
    family: SCHOOL_CHILD,
    chapters: [
      {
        on: 8,
        log: [
          '3 1 1/1',
          '4 1 -/-',
          '5 1 1/1 outside',
          '6 1 0/0 touched',
          '7 1 1/1 unset',
          '7 1 2/- am',
        ],
      },
    ],
  },
  {
    name: 'away-and-scan-moved',
    about: 'Five days away: one step lower. Then the scan is moved: more days, nothing in a hurry.',
    family: SCHOOL_CHILD,
    chapters: [
      { on: 12, log: ['3 1 1/1', '4 1 1/0', '5 2 1/1', '6 2 0/0'] },
      { on: 13, scanDate: '2027-06-21' },
    ],
  },
  {
    name: 'little-time',
    about:
      'The log comes when the scan is near: the plan stays where it is, and ends below the top.',
    family: { ...SCHOOL_CHILD, scanDate: '2027-05-14' },
    chapters: [
      { on: 9, log: ['3 1 1/1', '4 1 1/1', '5 2 1/1', '6 2 1/1', '8 3 1/1'] },
      { on: 11, log: ['10 3 1/1', '11 3 1/1'] },
    ],
  },
  {
    name: 'ahead-of-the-plan',
    about: 'The family jumps ahead: it does not count, and a hard session there leads back.',
    family: SCHOOL_CHILD,
    chapters: [{ on: 7, log: ['3 1 1/1', '3 4 0/0', '4 6 1/1', '5 6 6/5'] }],
  },
  {
    name: 'sound-sensitive',
    about: 'A child who is sensitive to sound: a new step every second day at most.',
    family: { ...SCHOOL_CHILD, preset: 'sound-sensitive', scanDate: '2027-06-14' },
    chapters: [{ on: 8, log: ['3 1 2/1', '4 1 1/1', '5 2 2/2', '6 2 3/2', '8 2 1/1'] }],
  },
  {
    name: 'asleep',
    about: 'A baby who is scanned asleep: parents alone give marks.',
    family: { ageBand: '0-1', preset: 'asleep', startDate: '2027-05-03', scanDate: '2027-05-17' },
    chapters: [{ on: 7, log: ['3 1 -/0', '4 1 -/1', '5 2 -/0', '6 2 -/6'] }],
  },
];

function tell({ about, family, name, chapters }: Story): { text: string; kit: Manifest } {
  let kit = plannedManifest(name, family);
  const parts = [about];
  for (const { on, log, ...change } of chapters) {
    const asOf = `2027-05-${String(on).padStart(2, '0')}`;
    const csv = log === undefined ? undefined : logOf(...rowsOf(kit.kit, log));
    const reading =
      csv === undefined
        ? { entries: [], problems: [], redElsewhere: [] }
        : readLog(csv, {
            kit: kit.kit,
            steps: kit.steps.map(({ number }) => number),
            today: asOf,
            file: 'log.csv',
          });
    const { entries, redElsewhere } = reading;
    const revision = reviseKit(kit, { entries, redRows: redElsewhere.length, asOf, ...change });
    const result = { folder: kit.kit, manifest: kit, revision, problems: [], isWritten: true };
    const asked = [
      ...(csv === undefined ? [] : [csv.replaceAll('\r\n', '\n').trimEnd()]),
      ...Object.entries(change).map(([key, value]) => `${key}: ${JSON.stringify(value)}`),
    ];
    parts.push(
      `======== ${asOf}`,
      ...asked,
      '--------',
      ...revision.warnings.map(warning => `Note: ${warning}`),
      reviseReport(result, 100).trimEnd(),
    );
    const { layout } = kit.plan.constants;
    const made = revision.newSteps.map(step => withoutAudio(step, layout));
    if (revision.isNew) kit = revisedManifest(kit, revision, made);
    // What the history leads to is the plan that stands in the kit.
    expect(replayedVersion(kit)).toEqual(kit.history.at(-1));
    expect(kit.sessions).toEqual(kit.history.at(-1)!.sessions);
  }
  return { text: `${parts.join('\n')}\n`, kit };
}

describe('families', () => {
  test.each(STORIES)('$name', async story => {
    await expect(tell(story).text).toMatchFileSnapshot(`../golden/revise/${story.name}.txt`);
  });
});

describe('a kit after its log', () => {
  const story = STORIES.find(({ name }) => name === 'only-all-right')!;
  const { kit } = tell(story);

  test('has every plan it ever had, one version after another', () => {
    expect(kit.history.map(({ version, asOf }) => [version, asOf])).toEqual([
      [1, null],
      [2, '2027-05-07'],
      [3, '2027-05-11'],
    ]);
    expect(kit.version).toBe(3);
    // What was told twice stands in it once.
    expect(kit.history.map(({ log }) => log.length)).toEqual([0, 4, 2]);
  });

  test('has the half step between its neighbours, half as far', () => {
    const [first, half, second] = kit.steps;
    expect([first!.number, half!.number, second!.number]).toEqual([1, 1.5, 2]);
    expect(half!.plannedOffsetDb).toBe((first!.plannedOffsetDb + second!.plannedOffsetDb) / 2);
  });

  test('tells nothing new when the same log comes again', () => {
    const last = kit.history.at(-1)!;
    const entries = kit.history.flatMap(({ log }) => log.map(entry => ({ line: 2, ...entry })));
    const again = reviseKit(kit, { entries, redRows: 0, asOf: last.asOf! });
    expect(again.isNew).toBe(false);
    expect(again.version.sessions).toEqual(last.sessions);
  });

  test('an earlier session that is told in another way counts as the harder of both', () => {
    const [{ log }] = kit.history.slice(1) as [Manifest['history'][number]];
    const worse = { ...log[0]!, line: 2, childRating: 7 };
    const { replay, problems } = reviseKit(kit, {
      entries: [worse],
      redRows: 0,
      asOf: '2027-05-12',
    });
    expect(replay.sessions[0]!.outcome).toBe('hard');
    expect(problems[0]!.found).toContain('told in another way');
  });

  test('whose history was changed by hand does not replay', () => {
    const changed = kit.history.with(-1, { ...kit.history.at(-1)!, nextStep: 9 });
    expect(replayedVersion({ ...kit, history: changed })).not.toEqual(changed.at(-1));
  });
});

describe('to begin again', () => {
  const stopped = tell({
    ...STORIES.find(({ name }) => name === 'stopped')!,
    chapters: STORIES.find(({ name }) => name === 'stopped')!.chapters.slice(0, 1),
  }).kit;
  const restart = (step: number, kit = stopped) =>
    reviseKit(kit, {
      entries: [],
      redRows: 0,
      asOf: '2027-05-08',
      restart: { step, clearedBy: 'Dr A. Example' },
    });

  test('is refused at the step that stopped practice and above it', () => {
    for (const step of [3, 4, 1.5]) {
      const error = refusal(() => restart(step));
      expect(error.exitCode).toBe(3);
      expect(error.problems[0]!.allowed).toContain('up to 2');
    }
    expect(restart(2).replay.nextStep).toBe(2);
  });

  test('begins with the step that staff named, however long practice rested', () => {
    const late = reviseKit(stopped, {
      entries: [],
      redRows: 0,
      asOf: '2027-05-20',
      restart: { step: 2, clearedBy: 'Dr A. Example' },
    });
    expect(late.replay).toMatchObject({ nextStep: 2, rule: 'restart' });
  });

  test('is refused where practice has not stopped', () => {
    const easy = tell(STORIES[0]!).kit;
    expect(refusal(() => restart(1, easy)).problems[0]!.found).toContain('has not stopped');
  });

  test('red rows that staff knew of do not stop practice again, new ones do', () => {
    const kit = plannedManifest('red-rows', SCHOOL_CHILD);
    const go = (at: Manifest, redRows: number, asOf: string, change: Change = {}) => {
      const revision = reviseKit(at, { entries: [], redRows, asOf, ...change });
      return { revision, kit: revisedManifest(at, revision, []) };
    };
    const first = go(kit, 1, '2027-05-05');
    expect(first.revision.replay.action).toBe('stop');
    const second = go(first.kit, 1, '2027-05-06', { restart: { step: 1, clearedBy: 'A. Name' } });
    expect(second.revision.replay.nextStep).toBe(1);
    expect(go(second.kit, 1, '2027-05-07').revision.replay.action).not.toBe('stop');
    expect(go(second.kit, 2, '2027-05-07').revision.replay.action).toBe('stop');
  });
});

test('a day of the scan that has passed is refused', () => {
  const kit = plannedManifest('moved', SCHOOL_CHILD);
  const error = refusal(() =>
    reviseKit(kit, { entries: [], redRows: 0, asOf: '2027-05-05', scanDate: '2027-05-05' }),
  );
  expect(error.code).toBe('BAD_USAGE');
});
