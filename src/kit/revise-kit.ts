/**
 * From a kit and a family's log to its next plan: decided here, before anything is written.
 *
 * @module
 */
import { UserError } from '../errors.js';
import { calendarRules } from '../plan/make-plan.js';
import { nextSessions } from '../practice/next-sessions.js';
import type { LogEntry } from '../practice/log-entry.js';
import type { LogProblem } from '../practice/log-table.js';
import type { Step } from '../plan/plan.js';
import { type Replay, replayLog } from '../practice/replay-log.js';
import {
  firstSteps,
  mergeLog,
  notedBefore,
  plannedBy,
  restartsOf,
} from './manifest/kit-history.js';
import type { Manifest, ManifestStep, ManifestVersion } from './manifest/manifest.js';
import { type UndosedStep, withDoses } from './manifest/manifest-step.js';
import { withLongestCue } from './audio/heard-parts.js';
import { listenerOf } from './plan-kit.js';
import { withSessions } from './manifest/playback.js';

export interface RevisionRequest {
  /** Sessions of the log, by date. */
  readonly entries: readonly LogEntry[];
  /** How many rows hold a red sign and are no session. */
  readonly redRows: number;
  /** Day of the decision, `YYYY-MM-DD`. */
  readonly asOf: string;
  /** The scan's new day. */
  readonly scanDate?: string | undefined;
  /** Staff let practice begin again with this step. */
  readonly restart?: { readonly step: number; readonly clearedBy: string } | undefined;
}

export interface Revision {
  readonly replay: Replay;
  /** Steps that the kit does not have yet. */
  readonly newSteps: readonly Step[];
  /** The new entry of the history. */
  readonly version: ManifestVersion;
  /** Whether there is a new plan at all. */
  readonly isNew: boolean;
  readonly problems: readonly LogProblem[];
  /** Sentences for staff. */
  readonly warnings: readonly string[];
}

/**
 * Decides on the next plan.
 *
 * @throws {UserError} `UNSAFE`: practice may not begin again so. `BAD_USAGE`: the scan's new day is not
 *   in the future.
 */
export function reviseKit(manifest: Manifest, request: RevisionRequest): Revision {
  const { history } = manifest;
  const { asOf } = request;
  const last = history.at(-1)!;
  const { constants } = manifest.plan;
  const { rules } = constants;
  const merged = mergeLog(notedBefore(manifest), request.entries, rules.redMark);
  const redRows = Math.max(request.redRows, last.redRows);
  const scanDate = request.scanDate ?? last.scanDate;
  if (request.scanDate !== undefined) requireFuture(request.scanDate, asOf);
  const go = (restarts: readonly RestartOf[]): Replay =>
    replayLog({
      steps: firstSteps(manifest),
      entries: merged.entries,
      restarts,
      redElsewhere: redRows > redRowsCleared(history, restarts),
      plannedBy: plannedBy(history),
      rules,
      asOf,
    });
  const before = go(restartsOf(history));
  const { restart } = request;
  if (restart !== undefined) requireRestartable(before, restart.step, manifest.steps);
  const replay =
    restart === undefined ? before : go([...restartsOf(history), { date: asOf, ...restart }]);
  const next = nextSessions({
    replay,
    entries: merged.entries,
    rules: calendarRules(constants, constants.bands[0]!),
    startDate: history[0]!.startDate,
    scanDate,
    asOf,
  });
  const version: ManifestVersion = {
    version: last.version + 1,
    asOf,
    action: replay.action,
    rule: replay.rule,
    why: replay.why,
    nextStep: replay.nextStep,
    log: merged.added,
    redRows,
    restart: restart ?? null,
    startDate: next.startDate,
    scanDate,
    days: next.days,
    sessions: next.sessions,
  };
  const known = new Set(manifest.steps.map(({ number }) => number));
  return {
    replay,
    newSteps: replay.steps.filter(({ number }) => !known.has(number)),
    version,
    isNew: isNewPlan(last, version),
    problems: merged.problems,
    warnings: warningsOf(manifest, version, replay),
  };
}

type RestartOf = ReturnType<typeof restartsOf>[number];

/** The kit as it is after a revision. @param made - The steps that it did not have, made. */
export function revisedManifest(
  manifest: Manifest,
  { version }: Pick<Revision, 'version'>,
  made: readonly UndosedStep[],
): Manifest {
  const { sessions, startDate, scanDate, days } = version;
  const steps: readonly UndosedStep[] = [...manifest.steps, ...made].sort(
    (a, b) => a.number - b.number,
  );
  const listener = listenerOf(manifest);
  const voiceDba = manifest.voiceReference.assumedDba;
  const dosed = withDoses(steps, sessions, listener, voiceDba);
  return {
    ...manifest,
    version: version.version,
    steps: dosed,
    sessions,
    playback: withSessions(manifest.playback, {
      steps: dosed,
      sessions,
      layout: withLongestCue(manifest.plan.constants.layout, manifest.cues),
      listener,
      voiceDba,
    }),
    plan: { ...manifest.plan, startDate, scanDate, days },
    history: [...manifest.history, version],
  };
}

/**
 * The last plan of a kit as its history leads to it: what stands in the manifest, unless somebody
 * changed it.
 */
export function replayedVersion(manifest: Manifest): ManifestVersion | null {
  const last = manifest.history.at(-1);
  if (last === undefined || last.asOf === null) return null;
  const before = manifest.history.slice(0, -1);
  return reviseKit(
    { ...manifest, history: before },
    {
      entries: last.log.map(entry => ({ line: 0, ...entry })),
      redRows: last.redRows,
      asOf: last.asOf,
      ...(last.scanDate === null || last.scanDate === before.at(-1)!.scanDate
        ? {}
        : { scanDate: last.scanDate }),
      ...(last.restart === null ? {} : { restart: last.restart }),
    },
  ).version;
}

/** Rows that staff knew of when they last let practice begin again. */
function redRowsCleared(
  history: readonly ManifestVersion[],
  restarts: readonly RestartOf[],
): number {
  const cleared = history.findLast(({ restart }) => restart !== null)?.redRows ?? 0;
  // A restart of today is not in the history yet: it clears all that is known today.
  return restarts.length > restartsOf(history).length ? Number.POSITIVE_INFINITY : cleared;
}

/** A log that tells nothing new, on a day that changes nothing, makes no new version. */
function isNewPlan(last: ManifestVersion, next: ManifestVersion): boolean {
  const ahead = ({ sessions }: ManifestVersion): string =>
    JSON.stringify(
      sessions
        .filter(({ date }) => date === null || date > next.asOf!)
        .map(({ date, step }) => [date, step]),
    );
  return (
    next.log.length > 0 ||
    next.restart !== null ||
    next.redRows !== last.redRows ||
    next.scanDate !== last.scanDate ||
    next.nextStep !== last.nextStep ||
    ahead(last) !== ahead(next)
  );
}

function warningsOf(
  { steps, discs }: Manifest,
  { sessions, scanDate, nextStep }: ManifestVersion,
  { action, sessions: told }: Replay,
): readonly string[] {
  const warnings: string[] = [];
  if (action === 'stop') {
    warnings.push(
      'Practice has stopped: call the family today. No step opens until staff let it begin again (--restart-at with --cleared-by).',
    );
  }
  if (action === 'back-two') warnings.push('Two steps back in a row: call the family.');
  const missing = told.filter(({ outcome }) => outcome === 'missing').length;
  if (missing > 0) {
    warnings.push(
      `${missing} ${missing === 1 ? 'session has' : 'sessions have'} something missing and cannot count as comfortable: ask the family.`,
    );
  }
  if (nextStep !== null && sessions.length === 0) {
    warnings.push(`No day is left for practice before the scan on ${scanDate ?? 'its day'}.`);
  }
  const [first] = sessions;
  if (nextStep !== null && first !== undefined && first.step < nextStep) {
    warnings.push(
      `Step ${nextStep} would be next, but there are too few days for something new before the scan: step ${first.step} again.`,
    );
  }
  const top = steps.at(-1)!.number;
  const reach = Math.max(0, ...sessions.map(({ step }) => step));
  if (sessions.length > 0 && reach < top) {
    warnings.push(
      `The plan reaches step ${reach} of ${Math.floor(top)} before the scan; the pace stays the same. That is fine.`,
    );
  }
  if (discs.length > 0 && steps.some(({ number }) => !Number.isInteger(number))) {
    warnings.push(
      'The discs do not hold the half steps: burn nothing new, or build the kit again.',
    );
  }
  return warnings;
}

function requireFuture(scanDate: string, asOf: string): void {
  if (scanDate > asOf) return;
  throw new UserError('BAD_USAGE', 'The day of the scan has passed.', [
    {
      where: '--scan-date',
      found: scanDate,
      allowed: `a day after ${asOf}`,
      fix: 'Give the new day of the scan.',
    },
  ]);
}

/** A red sign never leads on by itself, and staff begin again below it. */
function requireRestartable(
  replay: Replay,
  step: number,
  steps: readonly Pick<ManifestStep, 'number'>[],
): void {
  const refuse = (found: string, allowed: string, fix: string): never => {
    throw new UserError('UNSAFE', 'Practice cannot begin again like this.', [
      { where: '--restart-at', found, allowed, fix },
    ]);
  };
  if (replay.nextStep !== null) {
    refuse(
      'practice that has not stopped',
      'to begin again after practice has stopped',
      'Leave --restart-at out: the log itself leads on.',
    );
  }
  const stoppedAt =
    replay.sessions.findLast(({ action, rule }) => action === 'stop' && rule !== 'stopped')?.step ??
    Infinity;
  const numbers = steps.map(({ number }) => number);
  const lower = numbers.filter(number => number < stoppedAt);
  const most = Math.max(numbers[0]!, ...lower);
  if (numbers.includes(step) && step <= most) return;
  refuse(
    `step ${step}`,
    `a step of this kit up to ${most}, below the one at which practice stopped`,
    `Begin with step ${most} or a lower one.`,
  );
}
