/**
 * The constants of the graded plan, as `sounds-synth/plans/defaults.yaml` gives them.
 *
 * @module
 */
import { parse } from 'yaml';
import { z } from 'zod';
import {
  LAYOUT_NUMBERS,
  type LayoutConstants,
  PLAN_NUMBERS,
  type PlanNumber,
  type PlanScalars,
  RULE_NUMBERS,
  type RuleConstants,
  SHORTEST_ONSET_SECONDS,
} from './plan-ranges.js';
import { AGE_BANDS, type AgeBand } from './plan-settings.js';
import { without } from './without.js';

/** A change from one step to the next, on one axis. */
export type PlannedChange =
  /** Louder by the step size. */
  | { readonly axis: 'level' }
  /** So many sounds, the gentlest first. */
  | { readonly axis: 'sounds'; readonly to: number | 'all' }
  /** Each sound so many seconds long; `longest`: as the scan day and the session's limit allow. */
  | { readonly axis: 'duration'; readonly to: number | 'longest' }
  /** Fade at the start of each sound, in s. */
  | { readonly axis: 'onset'; readonly to: number }
  /** From 1, dull and even, to 0, the full sound. */
  | { readonly axis: 'softness'; readonly to: number }
  /** No longer a cue before each sound, but one for all. */
  | { readonly axis: 'announced' }
  /** Lying still instead of doing something nice. */
  | { readonly axis: 'posture' }
  /** From gentlest first to the order of the scan day. */
  | { readonly axis: 'order' }
  /** The real order with its pauses, the table and pre-scan. */
  | { readonly axis: 'visit' };

/** How a ladder starts, and where it goes from there. */
export interface LadderConstants {
  readonly first: {
    readonly sounds: number | 'all';
    readonly soundSeconds: number;
    readonly onsetSeconds: number;
    readonly softness: number;
    readonly announced: boolean;
  };
  /** Steps after the first; level steps that are missing at their end follow by themselves. */
  readonly changes: readonly PlannedChange[];
  /** Steps after the highest level is reached. */
  readonly ending: readonly PlannedChange[];
}

export interface BandConstants extends LadderConstants {
  readonly name: AgeBand;
  /** Lowest age in whole years. */
  readonly fromYears: number;
  readonly sessionsPerDay: number;
  /** Most sound of one step, silence and cues not counted. */
  readonly longestSessionMinutes: number;
}

/** What is other for children who are sensitive to sound, at any age. */
export interface SensitiveConstants {
  readonly startOffsetDb: number;
  /** The ladder ends here, dB re the voice reference. */
  readonly highestOffsetDb: number;
  readonly daysPerNewStep: number;
  readonly daysPerStep: number;
  /** Of the band's length of sessions and sounds. */
  readonly sessionShare: number;
  readonly first: { readonly sounds: number | 'all'; readonly softness: number };
  readonly changes: readonly PlannedChange[];
  readonly ending: readonly PlannedChange[];
}

/** What is other for children who are scanned asleep, at any age. */
export interface AsleepConstants extends LadderConstants {
  readonly startOffsetDb: number;
  readonly daysPerNewStep: number;
  readonly daysPerStep: number;
  readonly sessionsPerDay: number;
  readonly longestSessionMinutes: number;
}

/** How soft a sound of softness 1 is; between it and 0 the filter opens and the rhythm comes back. */
export interface SoftnessConstants {
  readonly lowPassHertz: number;
  /** Share of the fast modulation that is left. */
  readonly modulationShare: number;
}

export interface PlanConstants extends PlanScalars {
  readonly layout: LayoutConstants;
  readonly rules: RuleConstants;
  readonly softness: SoftnessConstants;
  /** From young to old. */
  readonly bands: readonly BandConstants[];
  readonly soundSensitive: SensitiveConstants;
  readonly asleep: AsleepConstants;
}

const numberSchema = ({ min, max, isWhole }: PlanNumber) =>
  isWhole ? z.int().min(min).max(max) : z.number().min(min).max(max);

/** A number with its source beside it; only the number goes on. */
const sourced = (range: PlanNumber) =>
  z
    .strictObject({ value: numberSchema(range), source: z.string().min(1) })
    .transform(({ value }) => value);

const sourcedAll = <T extends Readonly<Record<string, PlanNumber>>>(numbers: T) =>
  Object.fromEntries(Object.entries(numbers).map(([key, range]) => [key, sourced(range)])) as {
    readonly [K in keyof T]: ReturnType<typeof sourced>;
  };

const soundCount = z.union([z.literal('all'), z.int().min(1)]);
const soundSeconds = z.int().min(5).max(600);
const onset = z.number().min(SHORTEST_ONSET_SECONDS).max(10);
const softness = z.number().min(0).max(1);

/** Also of a study's own. */
export const CHANGE = z.discriminatedUnion('axis', [
  z.strictObject({ axis: z.literal('level') }),
  z.strictObject({ axis: z.literal('sounds'), to: soundCount }),
  z.strictObject({
    axis: z.literal('duration'),
    to: z.union([z.literal('longest'), soundSeconds]),
  }),
  z.strictObject({ axis: z.literal('onset'), to: onset }),
  z.strictObject({ axis: z.literal('softness'), to: softness }),
  z.strictObject({ axis: z.literal('announced') }),
  z.strictObject({ axis: z.literal('posture') }),
  z.strictObject({ axis: z.literal('order') }),
  z.strictObject({ axis: z.literal('visit') }),
]);

export const FIRST = z.strictObject({
  sounds: soundCount,
  soundSeconds,
  onsetSeconds: onset,
  softness,
  announced: z.boolean(),
});

const sessionsPerDay = z.int().min(1).max(2);
const longestSessionMinutes = z.number().min(1).max(20);
const source = z.string().min(1);
const { startOffsetDb, daysPerNewStep, daysPerStep } = PLAN_NUMBERS;

const BAND = z
  .strictObject({
    name: z.enum(AGE_BANDS),
    fromYears: z.int().min(0).max(18),
    source,
    sessionsPerDay,
    longestSessionMinutes,
    first: FIRST,
    changes: z.array(CHANGE),
    ending: z.array(CHANGE),
  })
  .transform(withoutSource);

const SENSITIVE = z
  .strictObject({
    source,
    startOffsetDb: numberSchema(startOffsetDb),
    highestOffsetDb: z.number().min(-20).max(20),
    daysPerNewStep: numberSchema(daysPerNewStep),
    daysPerStep: numberSchema(daysPerStep),
    sessionShare: z.number().min(0.1).max(1),
    first: FIRST.pick({ sounds: true, softness: true }),
    changes: z.array(CHANGE),
    ending: z.array(CHANGE),
  })
  .transform(withoutSource);

const ASLEEP = z
  .strictObject({
    source,
    startOffsetDb: numberSchema(startOffsetDb),
    daysPerNewStep: numberSchema(daysPerNewStep),
    daysPerStep: numberSchema(daysPerStep),
    sessionsPerDay,
    longestSessionMinutes,
    first: FIRST,
    changes: z.array(CHANGE),
    ending: z.array(CHANGE),
  })
  .transform(withoutSource);

function withoutSource<T extends { readonly source: string }>(given: T): Omit<T, 'source'> {
  return without(given, 'source');
}

const CONSTANTS = z.strictObject({
  ...sourcedAll(PLAN_NUMBERS),
  layout: z.strictObject(sourcedAll(LAYOUT_NUMBERS)),
  rules: z.strictObject(sourcedAll(RULE_NUMBERS)),
  softness: z.strictObject({
    lowPassHertz: sourced({ meaning: '', min: 300, max: 8000, unit: '' }),
    modulationShare: sourced({ meaning: '', min: 0, max: 1, unit: '' }),
  }),
  bands: z.array(BAND).min(1),
  soundSensitive: SENSITIVE,
  asleep: ASLEEP,
});

/**
 * Constants from the text of their file.
 *
 * @throws {Error} The text is not as it must be: a fault of ours, since the file ships with the program.
 */
export function parsePlanConstants(text: string): PlanConstants {
  return CONSTANTS.parse(parse(text));
}
