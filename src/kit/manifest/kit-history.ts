/**
 * What a kit's family noted so far, and what its plans were: the history in its manifest, as the rules
 * of the plan read it.
 *
 * @module
 */
import type { LogEntry } from '../../practice/log-entry.js';
import type { LogProblem } from '../../practice/log-table.js';
import type { PlannedInterlude, Step } from '../../plan/plan.js';
import { compareEntries } from '../../practice/read-log.js';
import type { Restart } from '../../practice/replay-log.js';
import { oneEntryASession } from '../../practice/same-session.js';
import { without } from '../../protocol/without.js';
import type { Manifest, ManifestLogEntry, ManifestStep, ManifestVersion } from './manifest.js';
import { micro } from './manifest-step.js';

/** The kit's steps as they were before any was inserted. */
export const firstSteps = ({ steps }: Manifest): readonly Step[] =>
  steps.filter(({ change }) => change !== 'half' && change !== 'softer').map(stepOf);

/** A step from its manifest, without the pauses of a visit. */
function stepOf(step: ManifestStep): Step {
  return {
    number: step.number,
    change: step.change as Step['change'],
    levelDb: step.plannedOffsetDb,
    onsetSeconds: step.onsetSeconds,
    softness: step.softness,
    announced: step.announced,
    posture: step.posture as Step['posture'],
    order: step.order as Step['order'],
    sounds: step.sounds.map(({ scan, startSeconds, endSeconds, softness }) => ({
      scan,
      durationSeconds: micro(endSeconds - startSeconds),
      softness,
    })),
    interludes: step.interludes.map(({ kind, startSeconds, endSeconds }) => ({
      kind: kind as PlannedInterlude['kind'],
      durationSeconds: micro(endSeconds - startSeconds),
      before: step.sounds.filter(sound => sound.startSeconds < startSeconds).length,
    })),
  };
}

/** All that was noted in earlier versions. */
export const notedBefore = ({ history }: Manifest): readonly LogEntry[] =>
  history.flatMap(({ log }) => log.map(entry => ({ line: 0, ...entry })));

export interface MergedLog {
  /** By date and time; each session once. */
  readonly entries: readonly LogEntry[];
  /** What was not known before. */
  readonly added: readonly ManifestLogEntry[];
  readonly problems: readonly LogProblem[];
}

/** A log beside what was known: logs come again, longer, and sometimes other than before. */
export function mergeLog(
  before: readonly LogEntry[],
  now: readonly LogEntry[],
  redMark: number,
): MergedLog {
  const known = new Set(before.map(contentOf));
  const added = now.filter(entry => !known.has(contentOf(entry)));
  const keys = new Set(before.map(keyOf));
  const { entries } = oneEntryASession([...before, ...added], redMark);
  return {
    entries: entries.toSorted(compareEntries),
    added: added.map(entry => without(entry, 'line')),
    problems: added
      .filter(entry => keys.has(keyOf(entry)))
      .map(({ line }) => ({
        line,
        column: null,
        found: 'a session that an earlier log told in another way',
        used: 'the harder of both; the session cannot count as comfortable',
      })),
  };
}

const keyOf = ({ date, time, step }: LogEntry): string => `${date} ${time ?? ''} ${step}`;
const contentOf = (entry: LogEntry): string =>
  JSON.stringify(Object.entries({ ...entry, line: 0 }).sort());

/** Staff's decisions to begin again, in order. */
export const restartsOf = (history: readonly ManifestVersion[]): readonly Restart[] =>
  history.flatMap(({ asOf, restart }) =>
    restart === null || asOf === null ? [] : [{ date: asOf, ...restart }],
  );

/** Highest step that the plan in force had, by date; 0 where plans have no dates. */
export function plannedBy(history: readonly ManifestVersion[]): (date: string) => number {
  return date => {
    const inForce = history.findLast(({ asOf }) => asOf === null || asOf < date);
    const past = inForce?.sessions.filter(session => session.date !== null && session.date <= date);
    return Math.max(0, ...(past ?? []).map(({ step }) => step));
  };
}
