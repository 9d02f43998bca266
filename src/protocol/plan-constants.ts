/**
 * The constants of the graded plan, read from `sounds-synth/plans/defaults.yaml`, and what a study's
 * own settings make of them. The ranges here are limits that neither file can pass.
 *
 * @module
 */
import { parse } from 'yaml';
import { z } from 'zod';
import { AGE_BANDS, type AgeBand, type PlanSettings } from './plan-settings.js';

/** A change from one step to the next, on one axis. */
export type PlannedChange =
  | { readonly axis: 'level' }
  | { readonly axis: 'sounds'; readonly to: number | 'all' }
  | { readonly axis: 'duration'; readonly to: number }
  | { readonly axis: 'onset'; readonly to: number }
  | { readonly axis: 'order' };

export interface BandConstants {
  readonly name: AgeBand;
  /** Lowest age in whole years. */
  readonly fromYears: number;
  readonly sessionsPerDay: number;
  /** Most sound of one step, silence and cues not counted. */
  readonly longestSessionMinutes: number;
  readonly first: {
    readonly sounds: number | 'all';
    readonly soundSeconds: number;
    readonly onsetSeconds: number;
  };
  readonly changes: readonly PlannedChange[];
}

/** Times of a step's audio, in s. */
export interface LayoutConstants {
  readonly leadInSeconds: number;
  readonly voiceSeconds: number;
  readonly afterVoiceSeconds: number;
  readonly cueSeconds: number;
  readonly cueLeadSeconds: number;
  readonly pauseSeconds: number;
  readonly protocolPauseSeconds: number;
  readonly endSeconds: number;
  readonly fadeOutSeconds: number;
}

export interface PlanConstants {
  /** dB re the voice reference. */
  readonly startOffsetDb: number;
  /** dB. */
  readonly stepDb: number;
  /** One day in so many is without practice. */
  readonly restDayEvery: number;
  /** Days before the scan on which nothing new is played. */
  readonly quietDays: number;
  /** Most sound of a day, silence and cues not counted. */
  readonly minutesPerDay: number;
  readonly minutesPerWeek: number;
  /** Most days on which one step is played. */
  readonly daysPerStep: number;
  readonly shortestSoundSeconds: number;
  readonly layout: LayoutConstants;
  /** From young to old. */
  readonly bands: readonly BandConstants[];
}

/** A fade at home is never shorter, in s: a sudden start is what makes a soft sound startling. */
export const SHORTEST_ONSET_S = 0.05;

/** A step never rises by more, in dB. */
export const LARGEST_RISE_DB = 3;

/** A number with its source beside it; only the number goes on. */
const sourced = (schema: z.ZodNumber | z.ZodInt) =>
  z.strictObject({ value: schema, source: z.string().min(1) }).transform(({ value }) => value);

const seconds = (min: number, max: number) => sourced(z.number().min(min).max(max));
const soundCount = z.union([z.literal('all'), z.int().min(1)]);
const onset = z.number().min(SHORTEST_ONSET_S).max(10);

const BAND = z
  .strictObject({
    name: z.enum(AGE_BANDS),
    fromYears: z.int().min(0).max(18),
    source: z.string().min(1),
    sessionsPerDay: z.int().min(1).max(2),
    longestSessionMinutes: z.number().min(1).max(20),
    first: z.strictObject({
      sounds: soundCount,
      soundSeconds: z.int().min(5).max(600),
      onsetSeconds: onset,
    }),
    changes: z.array(
      z.discriminatedUnion('axis', [
        z.strictObject({ axis: z.literal('level') }),
        z.strictObject({ axis: z.literal('sounds'), to: soundCount }),
        z.strictObject({ axis: z.literal('duration'), to: z.int().min(5).max(600) }),
        z.strictObject({ axis: z.literal('onset'), to: onset }),
        z.strictObject({ axis: z.literal('order') }),
      ]),
    ),
  })
  .transform(({ name, fromYears, sessionsPerDay, longestSessionMinutes, first, changes }) => {
    return { name, fromYears, sessionsPerDay, longestSessionMinutes, first, changes };
  });

const CONSTANTS = z.strictObject({
  startOffsetDb: sourced(z.number().min(-40).max(0)),
  stepDb: sourced(z.number().min(0.5).max(LARGEST_RISE_DB)),
  restDayEvery: sourced(z.int().min(2).max(7)),
  quietDays: sourced(z.int().min(2).max(7)),
  minutesPerDay: sourced(z.number().min(1).max(20)),
  minutesPerWeek: sourced(z.number().min(1).max(120)),
  daysPerStep: sourced(z.int().min(1).max(7)),
  shortestSoundSeconds: sourced(z.int().min(2).max(60)),
  layout: z.strictObject({
    leadInSeconds: seconds(0.5, 10),
    voiceSeconds: seconds(2, 10),
    afterVoiceSeconds: seconds(0.5, 10),
    cueSeconds: seconds(0.5, 3),
    cueLeadSeconds: seconds(0.5, 10),
    pauseSeconds: seconds(0.5, 60),
    protocolPauseSeconds: seconds(0.5, 60),
    endSeconds: seconds(0.5, 10),
    fadeOutSeconds: seconds(0.5, 5),
  }),
  bands: z.array(BAND).min(1),
});

/**
 * Constants from the text of their file.
 *
 * @throws {Error} The text is not as it must be: a fault of ours, since the file ships with the program.
 */
export function parsePlanConstants(text: string): PlanConstants {
  return CONSTANTS.parse(parse(text));
}

/** The constants with the study's own settings in their place, within the same ranges. */
export function withPlanSettings(constants: PlanConstants, settings: PlanSettings): PlanConstants {
  const { startOffsetDb, stepDb, sessionsPerDay, minutesPerDay } = settings;
  const bands = constants.bands.map(band => ({
    ...band,
    sessionsPerDay: sessionsPerDay ?? band.sessionsPerDay,
  }));
  return {
    ...constants,
    startOffsetDb: startOffsetDb ?? constants.startOffsetDb,
    stepDb: Math.min(stepDb ?? constants.stepDb, LARGEST_RISE_DB),
    minutesPerDay: Math.min(minutesPerDay ?? constants.minutesPerDay, constants.minutesPerDay),
    bands,
  };
}
