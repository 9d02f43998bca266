/**
 * The shape of `study.yaml`, but for the fields of its scans (see `fields.ts` and `families.ts`).
 *
 * The error text of every piece says what is allowed there; `read-study-file.ts` adds what was found,
 * where, and the fix.
 *
 * @module
 */
import * as z from 'zod';
import { PLAN_KEYS, planSchema } from './plan-schema.js';
import { ENTRY_TYPES } from './scan.js';
import {
  choice,
  date,
  line,
  mapping,
  MAX_NAME,
  MAX_PATH,
  MAX_TEXT,
  number,
  scanName,
} from './schema-parts.js';
import { LANGUAGES, STUDY_FORMAT } from './study-file.js';

/** Most scans in a protocol. */
const MAX_SCANS = 100;

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

const review = mapping('who has read the words of a language', {
  language: choice('language that was read', LANGUAGES),
  by: line('name of a native speaker'),
  date: date('when it was read'),
});

const texts = mapping("the study's own sentences", {
  guideNote: z
    .string({ error: 'sentences for the guide' })
    .max(MAX_TEXT, { error: `sentences for the guide, at most ${MAX_TEXT} characters` })
    .optional(),
  review: review.optional(),
});

const cues = mapping('recorded cues', {
  folder: line(
    'path of a folder that has a folder for each language, from the folder of this file',
    MAX_PATH,
  ),
});
const HASH_ERROR = '64 digits from 0 to f, as softknock freeze prints them';

const approval = mapping('approval of the texts', {
  reference: line('reference of the approval'),
  date: date('date of the approval'),
  texts: line('path of the approved words, from the folder of this file', MAX_PATH).optional(),
  textsHash: z
    .string({ error: HASH_ERROR })
    .regex(/^[0-9a-f]{64}$/, { error: HASH_ERROR })
    .optional(),
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
  plan: planSchema.optional(),
  texts: texts.optional(),
  cues: cues.optional(),
  approval: approval.optional(),
});

export type ParsedStudy = z.infer<typeof studySchema>;

/** The keys of every mapping that is not a scan, by its path. */
export const STUDY_KEYS: Readonly<Record<string, readonly string[]>> = {
  '': Object.keys(studySchema.shape),
  study: Object.keys(study.shape),
  'study.contact': Object.keys(contact.shape),
  scanner: Object.keys(scanner.shape),
  ...PLAN_KEYS,
  texts: Object.keys(texts.shape),
  cues: Object.keys(cues.shape),
  'texts.review': Object.keys(review.shape),
  approval: Object.keys(approval.shape),
};
