/**
 * The `plan` part of `study.yaml`.
 *
 * @module
 */
import * as z from 'zod';
import { CHANGE } from './plan-constants.js';
import {
  LAYOUT_NUMBERS,
  PLAN_NUMBERS,
  type PlanNumber,
  RULE_NUMBERS,
  SHORTEST_ONSET_SECONDS,
} from './plan-ranges.js';
import { AGE_BANDS, HARD_SOUND_WAYS } from './plan-settings.js';
import {
  choice,
  date,
  line,
  mapping,
  MAX_TEXT,
  number,
  scanName,
  scanNames,
  whole,
  yesNo,
} from './schema-parts.js';

const ranged = ({ meaning, min, max, unit, isWhole }: PlanNumber) =>
  isWhole ? whole(meaning, min, max) : number(meaning, min, max, unit);

/** Any of the numbers, within their ranges. */
const anyOf = <T extends Readonly<Record<string, PlanNumber>>>(what: string, numbers: T) =>
  mapping(
    what,
    Object.fromEntries(
      Object.entries(numbers).map(([key, range]) => [key, ranged(range).optional()]),
    ) as { readonly [K in keyof T]: z.ZodOptional<z.ZodNumber> },
  );

export const ceiling = mapping('a ceiling of the level', {
  // Wide on purpose: what is safe is decided, and refused, where levels are computed.
  laeqDba: number('expected level at the child', 20, 140, 'dBA'),
  approvedBy: line('who approved it').optional(),
  reason: line('why', MAX_TEXT).optional(),
  date: date('when it was approved').optional(),
});

export const hardSound = mapping('a sound that is hard for the child', {
  scan: scanName,
  how: choice('what is done about it', HARD_SOUND_WAYS),
});

const soundCount = (what: string) =>
  z.union([z.literal('all'), z.int().min(1).max(100)], {
    error: `${what}: a whole number from 1, or all`,
  });

const first = mapping('the first step', {
  sounds: soundCount('how many sounds').optional(),
  soundSeconds: whole('length of a sound, in s', 5, 600).optional(),
  onsetSeconds: number('fade at its start', SHORTEST_ONSET_SECONDS, 10, 's').optional(),
  softness: number('0 for the full sound, 1 for dull and even', 0, 1, '').optional(),
  announced: yesNo('a cue before each sound').optional(),
});

const changes = (what: string) =>
  z
    .array(CHANGE, {
      error: `${what}: a list such as [{ axis: level }, { axis: sounds, to: all }]`,
    })
    .max(60, { error: `${what}: at most 60 steps` });

const ladder = {
  first: first.optional(),
  changes: changes('the steps after the first').optional(),
  ending: changes('the last steps').optional(),
};

const { daysPerNewStep, daysPerStep, startOffsetDb } = PLAN_NUMBERS;

export const layout = anyOf("times of a step's audio", LAYOUT_NUMBERS);
export const rules = anyOf('rules for what a family noted', RULE_NUMBERS);
export const band = mapping("the plan of the child's age", {
  longestSessionMinutes: number('most sound of a session', 1, 20, 'min').optional(),
  ...ladder,
});
export const soundSensitive = mapping('the plan of children who are sensitive to sound', {
  startOffsetDb: ranged(startOffsetDb).optional(),
  highestOffsetDb: number('highest level re the voice reference', -20, 20, 'dB').optional(),
  daysPerNewStep: ranged(daysPerNewStep).optional(),
  daysPerStep: ranged(daysPerStep).optional(),
  sessionShare: number("share of the age's length of sounds", 0.1, 1, '').optional(),
  ...ladder,
});
export const asleep = mapping('the plan of children who are scanned asleep', {
  startOffsetDb: ranged(startOffsetDb).optional(),
  daysPerNewStep: ranged(daysPerNewStep).optional(),
  daysPerStep: ranged(daysPerStep).optional(),
  longestSessionMinutes: number('most sound of a session', 1, 20, 'min').optional(),
  ...ladder,
});
const scalars = anyOf('constants of the plan', PLAN_NUMBERS);
export const constants = mapping('constants of the plan', {
  ...scalars.shape,
  layout: layout.optional(),
  rules: rules.optional(),
  band: band.optional(),
  soundSensitive: soundSensitive.optional(),
  asleep: asleep.optional(),
});

export const planSchema = mapping('settings of the graded plan', {
  ageBand: choice('age band in years', AGE_BANDS).optional(),
  soundSensitive: yesNo('whether children are sensitive to sound').optional(),
  asleep: yesNo('whether children are scanned asleep').optional(),
  startOffsetDb: number('level of the first step re the voice reference', -40, -3, 'dB').optional(),
  stepDb: number('rise from step to step', 0.5, 3, 'dB').optional(),
  sessionsPerDay: whole('sessions a day', 1, 3).optional(),
  minutesPerDay: number('sound a day', 0.5, 20, 'min').optional(),
  leaveOut: scanNames('scans not played').optional(),
  order: scanNames('scans from gentle to hard').optional(),
  hardSounds: z
    .array(hardSound, { error: 'a list of "- scan: ..." with "how: ..." below it' })
    .optional(),
  ceiling: ceiling.optional(),
  constants: constants.optional(),
});

/** The keys of every mapping of the part, by its path. */
export const PLAN_KEYS: Readonly<Record<string, readonly string[]>> = {
  plan: Object.keys(planSchema.shape),
  'plan.ceiling': Object.keys(ceiling.shape),
  'plan.hardSounds[]': Object.keys(hardSound.shape),
  'plan.constants': Object.keys(constants.shape),
  'plan.constants.layout': Object.keys(layout.shape),
  'plan.constants.rules': Object.keys(rules.shape),
  'plan.constants.band': Object.keys(band.shape),
  'plan.constants.band.first': Object.keys(first.shape),
  'plan.constants.soundSensitive': Object.keys(soundSensitive.shape),
  'plan.constants.soundSensitive.first': Object.keys(first.shape),
  'plan.constants.asleep': Object.keys(asleep.shape),
  'plan.constants.asleep.first': Object.keys(first.shape),
};
