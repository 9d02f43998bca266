/**
 * What `softknock revise` prints.
 *
 * @module
 */
import { wrapWords } from '../formats/wrap-words.js';
import type { Manifest } from '../kit/manifest/manifest.js';
import type { Revision } from '../kit/revise-kit.js';
import type { LogProblem } from '../practice/read-log.js';
import { formatTable } from './table.js';

export interface ReviseResult {
  readonly folder: string;
  /** As it was before. */
  readonly manifest: Manifest;
  readonly revision: Revision;
  readonly problems: readonly LogProblem[];
  readonly isWritten: boolean;
}

/** One JSON document. */
export function reviseJson({ manifest, revision, problems, isWritten }: ReviseResult): string {
  const { replay, version, isNew, newSteps, warnings } = revision;
  return `${JSON.stringify(
    {
      kit: manifest.kit,
      version: isNew ? version.version : manifest.version,
      sessions: replay.sessions.map(({ date, step, outcome, rule, why }) => ({
        date,
        step,
        outcome,
        rule,
        why,
      })),
      action: replay.action,
      rule: replay.rule,
      why: replay.why,
      nextStep: replay.nextStep,
      plan: version.sessions.map(({ date, step }) => ({ date, step })),
      newSteps: newSteps.map(({ number }) => number),
      written: isWritten,
      problems,
      warnings,
    },
    null,
    2,
  )}\n`;
}

/** Sessions that are told one by one; of more, the last ones. */
const TOLD = 20;

/** The same for people. */
export function reviseReport(result: ReviseResult, columns: number): string {
  const { manifest, revision, problems } = result;
  const { replay, version, isNew } = revision;
  const told = replay.sessions.slice(-TOLD);
  const left = replay.sessions.length - told.length;
  const sessions =
    told.length === 0
      ? problems.length > 0
        ? 'Nothing in the log could be used. What is wrong with it, row by row, stands above.'
        : 'Nothing was noted yet.'
      : `${left > 0 ? `${left} earlier sessions, then:\n\n` : ''}${told
          .map(({ date, step, rule, why }) =>
            hanging(`${date}  step ${String(step).padEnd(4)} `, `${why} [${rule}]`, columns),
          )
          .join('\n')}`;
  return `Kit ${manifest.kit}, plan ${isNew ? version.version : manifest.version}

${sessions}

${next(revision)}

${planTable(version)}
${ending(result)}`;
}

function next({ replay }: Revision): string {
  const { nextStep, action, why, rule } = replay;
  const what = nextStep === null ? 'Practice has stopped' : `Next: step ${nextStep}`;
  return `${what} (${action})\n${why} [${rule}]`;
}

/** A step and the days on which it is played. */
function planTable({ sessions, scanDate }: Revision['version']): string {
  if (sessions.length === 0) return 'No practice is planned.\n';
  const rows: { step: number; days: string[] }[] = [];
  for (const { step, date, day } of sessions) {
    const name = date ?? `day ${day}`;
    const last = rows.at(-1);
    if (last?.step === step) last.days.push(name);
    else rows.push({ step, days: [name] });
  }
  const table = formatTable(
    [
      { title: 'step', right: true },
      { title: 'days', right: true },
      { title: 'from' },
      { title: 'to' },
    ],
    rows.map(({ step, days }) => [
      String(step),
      String(new Set(days).size),
      days[0]!,
      days.at(-1)!,
    ]),
  );
  return `${table}${scanDate === null ? '' : `scan on ${scanDate}\n`}`;
}

function ending({ folder, manifest, revision, isWritten }: ReviseResult): string {
  const { isNew, newSteps } = revision;
  if (!isNew) return `Nothing new: plan ${manifest.version} stands, and nothing was written.\n`;
  const steps = newSteps.map(({ number }) => number).join(', ');
  const made = newSteps.length === 0 ? '' : ` New: step ${steps}.`;
  if (!isWritten) return `A preview: nothing was written.${made}\n`;
  return `${folder} has the new plan.${made} Give the family the whole folder again.\n`;
}

/** A line whose continuation is indented as far as its text. */
function hanging(start: string, text: string, columns: number): string {
  const lines = wrapWords(text, Math.max(columns - start.length, 40));
  return start + lines.join(`\n${' '.repeat(start.length)}`);
}
