/**
 * Questions before a kit: what staff ask a family, and what an answer does. Some answers hold the kit
 * until a person who may say so has cleared it; others change its preset.
 *
 * None of them goes into a kit, nor into its manifest: they are about a child's health.
 *
 * The list is common practice, for the study's clinician to approve; sound-triggered seizures exist in
 * children, with sudden noise as their main trigger (startle epilepsy).
 *
 * @module
 */
import { type Problem, UserError } from '../errors.js';
import { didYouMean } from './did-you-mean.js';
import { printable } from './quote.js';

/** What an answer does to a kit. */
export type IntakeEffect = 'held' | 'sound-sensitive' | 'asleep';

interface IntakeQuestion {
  /** Follows "the child ...". */
  readonly question: string;
  readonly effect: IntakeEffect;
}

/** By the word that stands for "yes". */
export const INTAKE = {
  'ear-disease': {
    question: 'has an ear infection, sore ears or ear tubes, or had ear surgery not long ago',
    effect: 'held',
  },
  'hearing-device': {
    question: 'hears less well, or wears a hearing aid or an implant',
    effect: 'held',
  },
  'tinnitus-or-pain': { question: 'has ringing ears, or pain from sounds', effect: 'held' },
  seizures: { question: 'has seizures, or jumps or falls at sudden noise', effect: 'held' },
  'head-injury': { question: 'had a head injury not long ago, or has migraine', effect: 'held' },
  'scared-by-noise': { question: 'was badly scared by a loud noise', effect: 'held' },
  newborn: { question: 'is a newborn, or was born early', effect: 'held' },
  'sound-sensitive': { question: 'is sensitive to sound', effect: 'sound-sensitive' },
  'sleeping-scan': { question: 'is scanned asleep', effect: 'asleep' },
} as const satisfies Readonly<Record<string, IntakeQuestion>>;

export type IntakeFlag = keyof typeof INTAKE;

/** All of them, in the order they are asked. */
export const INTAKE_FLAGS = Object.keys(INTAKE) as readonly IntakeFlag[];

/** The answer of a family to whom nothing applies. */
export const NO_FLAGS = 'none';

/** Younger than this is a newborn, in years: 28 days (WHO). */
const NEWBORN_YEARS = 28 / 365;

/** Who cleared a family, and when. */
export interface Clearance {
  readonly by: string;
  /** `YYYY-MM-DD`. */
  readonly on: string;
}

/**
 * Answers from their words.
 *
 * @param words - Each with one answer, or several with commas, semicolons or spaces between them.
 * @param report - Takes down each problem.
 * @returns In the order of {@link INTAKE}, each once; undefined when nobody was asked.
 */
export function readIntake(
  words: readonly string[],
  where: string,
  report: (problem: Problem) => void,
): readonly IntakeFlag[] | undefined {
  const answers = words.flatMap(word => word.split(/[,;\s]+/)).filter(word => word !== '');
  const allowed = `${NO_FLAGS}, or any of ${INTAKE_FLAGS.join(', ')}`;
  for (const answer of answers) {
    if (answer === NO_FLAGS || isFlag(answer)) continue;
    const near = didYouMean(answer, [NO_FLAGS, ...INTAKE_FLAGS]);
    report({
      where,
      found: `"${printable(answer)}"`,
      allowed,
      fix: near === undefined ? 'Write one of these words.' : `Did you mean ${near}?`,
    });
  }
  if (words.length > 0 && answers.length === 0) {
    report({ where, found: 'nothing', allowed, fix: 'Write one of these words.' });
  }
  const flags = INTAKE_FLAGS.filter(flag => answers.includes(flag));
  if (answers.includes(NO_FLAGS) && flags.length > 0) {
    report({
      where,
      found: `${NO_FLAGS} beside ${flags.join(', ')}`,
      allowed,
      fix: `Leave out ${NO_FLAGS}, or the others.`,
    });
  }
  return answers.length === 0 ? undefined : flags;
}

/** The answers, and what the age answers by itself. */
export function withAge(
  flags: readonly IntakeFlag[],
  ageYears: number | undefined,
): readonly IntakeFlag[] {
  const isNewborn = ageYears !== undefined && ageYears < NEWBORN_YEARS;
  return INTAKE_FLAGS.filter(flag => flags.includes(flag) || (flag === 'newborn' && isNewborn));
}

/** Answers that hold a kit until somebody clears them. */
export const heldBy = (flags: readonly IntakeFlag[]): readonly IntakeFlag[] =>
  flags.filter(flag => INTAKE[flag].effect === 'held');

/** The preset that the answers ask for; sleep, the softer one, comes first. */
export function presetOf(flags: readonly IntakeFlag[]): Exclude<IntakeEffect, 'held'> | undefined {
  const effects = flags.map(flag => INTAKE[flag].effect);
  if (effects.includes('asleep')) return 'asleep';
  return effects.includes('sound-sensitive') ? 'sound-sensitive' : undefined;
}

/**
 * Holds a kit.
 *
 * @param where - Of the answers.
 * @throws {UserError} `UNSAFE`: an answer holds the kit, and nobody has cleared it.
 */
export function requireCleared(
  flags: readonly IntakeFlag[],
  clearance: Clearance | undefined,
  where: string,
): void {
  const held = heldBy(flags);
  if (held.length === 0 || clearance !== undefined) return;
  throw new UserError(
    'UNSAFE',
    'This kit is held: a clinician or an audiologist has to clear it first.',
    held.map(flag => ({
      where: `${where} ${flag}`,
      found: `the child ${INTAKE[flag].question}`,
      allowed: 'a kit that a named person has cleared for this child',
      fix: `Ask the study's clinician or an audiologist. Once they have cleared it, add --cleared-by "name".`,
    })),
  );
}

const isFlag = (word: string): word is IntakeFlag => Object.hasOwn(INTAKE, word);
