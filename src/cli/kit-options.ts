/**
 * What `softknock kit` was asked for, checked: every problem at once.
 *
 * @module
 */
import { type Problem, UserError } from '../errors.js';
import type { MeasuredDevice } from '../levels/measured-device.js';
import { isDate } from '../plan/dates.js';
import { type IntakeFlag, readIntake } from '../protocol/intake.js';
import { isOneLine } from '../protocol/one-line.js';
import { HARD_SOUND_WAYS, type HardSound } from '../protocol/plan-settings.js';
import { printable } from '../protocol/quote.js';

export interface GivenOptions {
  readonly family: string;
  readonly age?: string | undefined;
  readonly scanDate?: string | undefined;
  readonly startDate?: string | undefined;
  readonly intake?: string | undefined;
  readonly clearedBy?: string | undefined;
  readonly hard?: readonly string[] | undefined;
  readonly voiceDba?: string | undefined;
  readonly device?: string | undefined;
  readonly measuredBy?: string | undefined;
  readonly wav?: true | undefined;
  readonly disc?: true | undefined;
  readonly small?: true | undefined;
  readonly preview?: true | undefined;
  readonly html?: string | undefined;
}

export interface CheckedOptions {
  readonly family: string;
  readonly ageYears: number | undefined;
  readonly scanDate: string | undefined;
  readonly startDate: string | undefined;
  /** Undefined when nobody was asked. */
  readonly intake: readonly IntakeFlag[] | undefined;
  readonly clearedBy: string | undefined;
  readonly hardSounds: readonly HardSound[];
  readonly measured: Omit<MeasuredDevice, 'date'> | undefined;
}

/** Longest id of a family. */
const MAX_FAMILY_LENGTH = 100;

const MAX_AGE_YEARS = 120;

/** Longest name of a person, in characters. */
const MAX_NAME_LENGTH = 80;

/** @throws {UserError} `BAD_USAGE` with every problem. */
export function checkKitOptions({
  family,
  age,
  scanDate,
  startDate,
  intake: answers,
  clearedBy,
  hard = [],
  voiceDba,
  device,
  measuredBy,
  ...also
}: GivenOptions): CheckedOptions {
  const problems: Problem[] = [];
  if (family.trim() === '' || family.length > MAX_FAMILY_LENGTH) {
    problems.push({
      where: '--family',
      found: family.trim() === '' ? 'nothing' : `${family.length} characters`,
      allowed: `an id of 1 to ${MAX_FAMILY_LENGTH} characters`,
      fix: 'Give the id that the study uses for this family.',
    });
  }
  const ageYears = age === undefined ? undefined : readAge(age);
  if (ageYears !== undefined && !(ageYears >= 0 && ageYears <= MAX_AGE_YEARS)) {
    problems.push({
      where: '--age',
      found: `"${age!}"`,
      allowed: `years from 0 to ${MAX_AGE_YEARS}, for example 7 or 7.5`,
      fix: 'Give the age in years.',
    });
  }
  for (const [where, date] of Object.entries({
    '--scan-date': scanDate,
    '--start-date': startDate,
  })) {
    if (date === undefined || isDate(date)) continue;
    problems.push({
      where,
      found: `"${date}"`,
      allowed: 'a day of the calendar as YYYY-MM-DD, for example 2027-06-14',
      fix: 'Write year, month and day with hyphens.',
    });
  }
  for (const large of ['wav', 'disc'] as const) {
    if (also.small === undefined || also[large] === undefined) continue;
    problems.push({
      where: '--small',
      found: `--small together with --${large}`,
      allowed: `one of them: a minute takes ${large === 'wav' ? 5 : 11} MB with --${large}`,
      fix: 'Build it twice, into two folders.',
    });
  }
  if (also.html !== undefined && also.preview === undefined) {
    problems.push({
      where: '--html',
      found: '--html without --preview',
      allowed: '--preview --html plan.html, which writes that page and no kit',
      fix: 'Add --preview, or leave --html out.',
    });
  }
  const intake =
    answers === undefined
      ? undefined
      : readIntake([answers], '--intake', problem => problems.push(problem));
  if (clearedBy !== undefined && !isOneLine(clearedBy, MAX_NAME_LENGTH)) {
    problems.push({
      where: '--cleared-by',
      found: `${clearedBy.length} characters`,
      allowed: `a name of 1 to ${MAX_NAME_LENGTH} characters in one line`,
      fix: 'Give the name of the person who cleared this child.',
    });
  }
  const hardSounds = hard.flatMap(text => readHard(text, problem => problems.push(problem)));
  const measured = readMeasured({ voiceDba, device, measuredBy }, problem =>
    problems.push(problem),
  );
  if (problems.length > 0) {
    throw new UserError('BAD_USAGE', 'The command cannot be carried out.', problems);
  }
  return { family, ageYears, scanDate, startDate, intake, clearedBy, hardSounds, measured };
}

/** A decimal number; NaN for anything else. */
const readAge = (text: string): number => (/^\d+(\.\d+)?$/.test(text) ? Number(text) : Number.NaN);

/** `scan=way`. */
function readHard(text: string, report: (problem: Problem) => void): readonly HardSound[] {
  const [scan, how, ...rest] = text.split('=');
  const way = HARD_SOUND_WAYS.find(known => known === how);
  if (scan && way !== undefined && rest.length === 0) return [{ scan, how: way }];
  report({
    where: '--hard',
    found: `"${printable(text)}"`,
    allowed: `the name of a scan, =, and one of ${HARD_SOUND_WAYS.join(', ')}`,
    fix: 'Write it like diffusion=alone.',
  });
  return [];
}

/** All three, or none: a measurement without a device and a name is no measurement. */
function readMeasured(
  { voiceDba, device, measuredBy }: Pick<GivenOptions, 'voiceDba' | 'device' | 'measuredBy'>,
  report: (problem: Problem) => void,
): CheckedOptions['measured'] {
  const given = { '--voice-dba': voiceDba, '--device': device, '--measured-by': measuredBy };
  const missing = Object.entries(given).filter(([, value]) => value === undefined);
  if (missing.length === 3) return undefined;
  for (const [where] of missing) {
    report({
      where,
      found: 'nothing',
      allowed: 'all of --voice-dba, --device and --measured-by, or none',
      fix: `Add ${where}.`,
    });
  }
  for (const [where, text] of [
    ['--device', device],
    ['--measured-by', measuredBy],
  ] as const) {
    if (text === undefined || isOneLine(text, MAX_NAME_LENGTH)) continue;
    report({
      where,
      found: `${text.length} characters`,
      allowed: `1 to ${MAX_NAME_LENGTH} characters in one line`,
      fix: 'Give a short name.',
    });
  }
  const level = voiceDba === undefined ? Number.NaN : readAge(voiceDba);
  if (voiceDba !== undefined && Number.isNaN(level)) {
    report({
      where: '--voice-dba',
      found: `"${voiceDba}"`,
      allowed: 'a level in dBA, for example 60.5',
      fix: 'Give what the meter showed while the voice reference played.',
    });
  }
  return missing.length > 0 || Number.isNaN(level)
    ? undefined
    : { voiceDba: level, device: device!, by: measuredBy! };
}
