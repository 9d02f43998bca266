/**
 * The shape of `study.yaml`, but for the fields of its scans (see `fields.ts` and `families.ts`).
 *
 * The error text of every piece says what is allowed there; `read-study-file.ts` adds what was found,
 * where, and the fix.
 *
 * @module
 */
import * as z from 'zod';
import { isOneLine } from './one-line.js';
import { AGE_BANDS } from './plan-settings.js';
import { ENTRY_TYPES } from './scan.js';
import { LANGUAGES, STUDY_FORMAT } from './study-file.js';

/** Most scans in a protocol. */
const MAX_SCANS = 100;

/** Longest name, in characters. */
const MAX_NAME = 80;

/** Longest path, in characters. */
const MAX_PATH = 400;

/** Longest free text, in characters. */
const MAX_TEXT = 2000;

/** One line of text that a person reads. */
const line = (what: string, max = MAX_NAME) => {
  const error = `${what}: one line of text, 1 to ${max} characters`;
  return z.string({ error }).refine(text => isOneLine(text, max), { error });
};

const number = (what: string, min: number, max: number, unit: string) => {
  const error = `${what}: a number from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`;
  return z.number({ error }).min(min, { error }).max(max, { error });
};

const whole = (what: string, min: number, max: number) => {
  const error = `${what}: a whole number from ${min} to ${max}`;
  return z.number({ error }).int({ error }).min(min, { error }).max(max, { error });
};

const date = (what: string) => {
  const error = `${what}: a date of the calendar as YYYY-MM-DD`;
  return z.string({ error }).refine(isDate, { error });
};

const choice = <const T extends readonly string[]>(what: string, choices: T) =>
  z.enum(choices, { error: `${what}: ${choices.join(', ')}` });

const mapping = <T extends z.ZodRawShape>(what: string, shape: T) =>
  z.strictObject(shape, { error: `${what}: "key: value" lines, indented under it` });

/** A scan's name: it becomes part of file names. */
const scanName = z
  .string({ error: 'a short name: lower-case letters, digits and hyphens' })
  .regex(/^[a-z0-9][a-z0-9-]{0,39}$/, {
    error: 'lower-case letters, digits and hyphens, up to 40, starting with a letter or digit',
  });

const scanNames = (what: string) =>
  z.array(scanName, { error: `${what}: a list of scan names in brackets` });

const contact = mapping('whom a family can ask', {
  name: line('name of the contact').optional(),
  phone: line('telephone number, in quotes').optional(),
  email: z
    .string({ error: 'an e-mail address' })
    .max(MAX_NAME, { error: `an e-mail address of at most ${MAX_NAME} characters` })
    .regex(/^[^\s@<>"']+@[^\s@<>"']+\.[^\s@<>"']+$/, { error: 'an e-mail address' })
    .optional(),
});

const study = mapping('name and contact of the study', {
  name: line('name of the study, as families see it'),
  contact,
  language: choice('language of the kit', LANGUAGES).optional(),
  seed: line('seed of everything random').optional(),
});

const scanner = mapping('the scanner', {
  name: line('name of the scanner').optional(),
  MagneticFieldStrength: number('field strength', 0.05, 12, 'T'),
  MaximumGradientAmplitude: number('largest gradient', 5, 500, 'mT/m').optional(),
  MaximumSlewRate: number('steepest gradient ramp', 10, 1000, 'T/m/s').optional(),
  response: line(
    "name of a response model, or path of the scanner's own (.csv, .tsv or .wav)",
    MAX_PATH,
  ).optional(),
  protection: line('name of the hearing protection that is worn').optional(),
});

/** What every scan has; its other keys are the fields of its type. */
export const scanSchema = z.looseObject(
  {
    name: scanName,
    plainName: line('name for families').optional(),
    type: choice('kind of scan', ENTRY_TYPES),
    file: line('path of a Pulseq file (.seq), from the folder of this file', MAX_PATH).optional(),
  },
  { error: 'a scan: "- name: ..." and its other keys below it' },
);

const ceiling = mapping('a ceiling of the level', {
  // Wide on purpose: what is safe is decided, and refused, where levels are computed.
  laeqDba: number('expected level at the child', 20, 140, 'dBA'),
  approvedBy: line('who approved it').optional(),
  reason: line('why', MAX_TEXT).optional(),
  date: date('when it was approved').optional(),
});

const plan = mapping('settings of the graded plan', {
  ageBand: choice('age band in years', AGE_BANDS).optional(),
  soundSensitive: z
    .boolean({ error: 'whether children are sensitive to sound: true or false' })
    .optional(),
  startOffsetDb: number('level of the first step re the voice reference', -40, -3, 'dB').optional(),
  stepDb: number('rise from step to step', 0.5, 3, 'dB').optional(),
  sessionsPerDay: whole('sessions a day', 1, 3).optional(),
  minutesPerDay: number('sound a day', 0.5, 20, 'min').optional(),
  leaveOut: scanNames('scans not played').optional(),
  order: scanNames('scans from gentle to hard').optional(),
  ceiling: ceiling.optional(),
});

const texts = mapping("the study's own sentences", {
  guideNote: z
    .string({ error: 'sentences for the guide' })
    .max(MAX_TEXT, { error: `sentences for the guide, at most ${MAX_TEXT} characters` })
    .optional(),
});

const approval = mapping('approval of the texts', {
  reference: line('reference of the approval'),
  date: date('date of the approval'),
});

export const studySchema = mapping('a study file', {
  softknock: z.literal(STUDY_FORMAT, {
    error: `version of the study file's format: ${STUDY_FORMAT}`,
  }),
  study,
  scanner,
  scans: z
    .array(scanSchema, { error: 'the scans in order, each starting with "- name:"' })
    .min(1, { error: 'at least one scan' })
    .max(MAX_SCANS, { error: `at most ${MAX_SCANS} scans` }),
  plan: plan.optional(),
  texts: texts.optional(),
  approval: approval.optional(),
});

export type ParsedStudy = z.infer<typeof studySchema>;

/** The keys of every mapping that is not a scan, by its path. */
export const STUDY_KEYS: Readonly<Record<string, readonly string[]>> = {
  '': Object.keys(studySchema.shape),
  study: Object.keys(study.shape),
  'study.contact': Object.keys(contact.shape),
  scanner: Object.keys(scanner.shape),
  plan: Object.keys(plan.shape),
  'plan.ceiling': Object.keys(ceiling.shape),
  texts: Object.keys(texts.shape),
  approval: Object.keys(approval.shape),
};

function isDate(text: string): boolean {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (match === null) return false;
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])];
  const date = new Date(Date.UTC(year, month - 1, day));
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
}
