/**
 * What `softknock revise` was asked for, checked: every problem at once.
 *
 * @module
 */
import { type Problem, UserError } from '../errors.js';
import { isDate } from '../plan/dates.js';
import { isOneLine } from '../protocol/one-line.js';

export interface GivenReviseOptions {
  readonly log?: string | undefined;
  readonly code?: string | undefined;
  readonly study?: string | undefined;
  readonly scanDate?: string | undefined;
  readonly restartAt?: string | undefined;
  readonly clearedBy?: string | undefined;
}

export interface CheckedReviseOptions {
  readonly log: string | undefined;
  readonly code: string | undefined;
  readonly studyFile: string | undefined;
  readonly scanDate: string | undefined;
  readonly restart: { readonly step: number; readonly clearedBy: string } | undefined;
}

/** Longest name, in characters. */
const MAX_NAME = 80;

/** @throws {UserError} `BAD_USAGE` with every problem. */
export function checkReviseOptions(given: GivenReviseOptions): CheckedReviseOptions {
  const { log, code, study, scanDate, restartAt, clearedBy } = given;
  const problems: Problem[] = [];
  const report = (where: string, found: string, allowed: string, fix: string): void => {
    problems.push({ where, found, allowed, fix });
  };
  if (log !== undefined && code !== undefined) {
    report('--log and --code', 'both', 'one of them', 'Leave one out.');
  }
  if ([log, code, scanDate, restartAt].every(option => option === undefined)) {
    report(
      'softknock revise',
      'nothing to revise the plan by',
      '--log, --code, --scan-date or --restart-at',
      "Add --log with the family's log.csv.",
    );
  }
  if (scanDate !== undefined && !isDate(scanDate)) {
    report(
      '--scan-date',
      `"${scanDate}"`,
      'a day of the calendar as YYYY-MM-DD, for example 2027-06-14',
      'Write year, month and day with hyphens.',
    );
  }
  const step = restartAt === undefined ? undefined : Number(restartAt);
  if (step !== undefined && !(step > 0 && Number.isInteger(2 * step))) {
    report('--restart-at', `"${restartAt!}"`, 'the number of a step', 'Give a step of this kit.');
  }
  if (restartAt !== undefined && clearedBy === undefined) {
    report(
      '--restart-at',
      'no --cleared-by',
      'the name of the person who lets practice begin again',
      'Add --cleared-by "name".',
    );
  }
  if (clearedBy !== undefined && restartAt === undefined) {
    report('--cleared-by', 'no --restart-at', '--cleared-by beside --restart-at', 'Add the step.');
  }
  if (clearedBy !== undefined && !isOneLine(clearedBy, MAX_NAME)) {
    report(
      '--cleared-by',
      `${clearedBy.length} characters`,
      `a name of 1 to ${MAX_NAME} characters in one line`,
      'Give the name of the person.',
    );
  }
  if (problems.length > 0) {
    throw new UserError('BAD_USAGE', 'The command cannot be carried out.', problems);
  }
  return {
    log,
    code,
    studyFile: study,
    scanDate,
    restart: step === undefined ? undefined : { step, clearedBy: clearedBy! },
  };
}
