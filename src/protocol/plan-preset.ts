/**
 * The constants of one family's plan: those of its age, with the study's own in their place, made
 * gentler where the child is sensitive to sound or sleeps.
 *
 * @module
 */
import type { BandConstants, LadderConstants, PlanConstants } from './plan-constants.js';
import { LARGEST_RISE_DB } from './plan-ranges.js';
import type { AgeBand, PlanSettings } from './plan-settings.js';
import { without } from './without.js';

/** Whom the plan is for. A preset only ever makes a plan gentler. */
export const PRESETS = ['awake', 'sound-sensitive', 'asleep'] as const;

export type Preset = (typeof PRESETS)[number];

export interface PlanPreset {
  readonly preset: Preset;
  /** As they hold for this plan. */
  readonly constants: PlanConstants;
  readonly band: BandConstants;
  /** The ladder ends here even where the ceiling allows more, dB re the voice reference. */
  readonly highestOffsetDb: number;
}

/** A level that no ceiling allows. */
const NO_LIMIT_DB = 20;

/**
 * @returns Undefined when the age has no band: children who are scanned asleep have only that preset.
 */
export function planPreset(
  defaults: PlanConstants,
  settings: PlanSettings,
  ageBand: AgeBand,
  preset: Preset,
): PlanPreset | undefined {
  const constants = withSettings(defaults, settings);
  const own = settings.constants ?? {};
  const found = constants.bands.find(({ name }) => name === ageBand);
  if (preset === 'asleep') return asleepPreset(constants, own, ageBand, found?.fromYears ?? 0);
  if (found === undefined) return undefined;
  const band = {
    ...withLadder(found, own.band),
    sessionsPerDay: settings.sessionsPerDay ?? found.sessionsPerDay,
    longestSessionMinutes: own.band?.longestSessionMinutes ?? found.longestSessionMinutes,
  };
  if (preset === 'awake') return { preset, constants, band, highestOffsetDb: NO_LIMIT_DB };
  return sensitivePreset(constants, own, band);
}

type OwnConstants = NonNullable<PlanSettings['constants']>;

function withSettings(defaults: PlanConstants, settings: PlanSettings): PlanConstants {
  const own = settings.constants ?? {};
  const { layout, rules } = own;
  const scalars = without(own, 'layout', 'rules', 'band', 'soundSensitive', 'asleep');
  const given = { ...defaults, ...defined(scalars) };
  return {
    ...given,
    layout: { ...defaults.layout, ...defined(layout ?? {}) },
    rules: { ...defaults.rules, ...defined(rules ?? {}) },
    startOffsetDb: settings.startOffsetDb ?? given.startOffsetDb,
    stepDb: Math.min(settings.stepDb ?? given.stepDb, LARGEST_RISE_DB),
    minutesPerDay: Math.min(settings.minutesPerDay ?? given.minutesPerDay, given.minutesPerDay),
  };
}

function sensitivePreset(
  constants: PlanConstants,
  { soundSensitive: own }: OwnConstants,
  band: BandConstants,
): PlanPreset {
  const { first, changes, ending, ...numbers } = {
    ...constants.soundSensitive,
    ...defined(own ?? {}),
  };
  const { sessionShare, startOffsetDb, daysPerNewStep, daysPerStep, highestOffsetDb } = numbers;
  const shorter = (seconds: number): number =>
    Math.max(Math.round(seconds * sessionShare), constants.shortestSoundSeconds);
  return {
    preset: 'sound-sensitive',
    constants: {
      ...constants,
      startOffsetDb: Math.min(startOffsetDb, constants.startOffsetDb),
      daysPerNewStep: Math.max(daysPerNewStep, constants.daysPerNewStep),
      daysPerStep: Math.max(daysPerStep, daysPerNewStep, constants.daysPerStep),
    },
    band: {
      ...band,
      longestSessionMinutes: band.longestSessionMinutes * sessionShare,
      first: {
        ...band.first,
        soundSeconds: shorter(band.first.soundSeconds),
        ...constants.soundSensitive.first,
        ...defined(first),
      },
      changes,
      ending,
    },
    highestOffsetDb,
  };
}

function asleepPreset(
  constants: PlanConstants,
  { asleep: own }: OwnConstants,
  name: AgeBand,
  fromYears: number,
): PlanPreset {
  const base = constants.asleep;
  const given = without(own ?? {}, 'first');
  const { startOffsetDb, daysPerNewStep, daysPerStep, ...band } = { ...base, ...defined(given) };
  return {
    preset: 'asleep',
    constants: {
      ...constants,
      startOffsetDb: Math.min(startOffsetDb, constants.startOffsetDb),
      daysPerNewStep: Math.max(daysPerNewStep, constants.daysPerNewStep),
      daysPerStep: Math.max(daysPerStep, constants.daysPerStep),
    },
    band: { ...withLadder({ ...base, ...band, name, fromYears }, own) },
    highestOffsetDb: NO_LIMIT_DB,
  };
}

/** Steps with the study's own in their place. */
function withLadder<T extends LadderConstants>(ladder: T, own: OwnConstants['band']): T {
  return {
    ...ladder,
    first: { ...ladder.first, ...defined(own?.first ?? {}) },
    changes: own?.changes ?? ladder.changes,
    ending: own?.ending ?? ladder.ending,
  };
}

/** Without the keys that are there and undefined: spread over defaults they would erase them. */
function defined<T extends object>(given: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(
    Object.entries(given).filter(([, value]) => value !== undefined),
  ) as never;
}
