/**
 * The study's own settings of the graded plan: the `plan` part of `study.yaml`, as given.
 *
 * Everything is optional; what is left out gets its default where the plan is made. A setting here
 * is a wish: the limits in `levels/` and `plan/` decide what is built.
 *
 * @module
 */
import type {
  AsleepConstants,
  BandConstants,
  LadderConstants,
  PlannedChange,
  SensitiveConstants,
} from './plan-constants.js';
import type { LayoutConstants, PlanScalars, RuleConstants } from './plan-ranges.js';

/** Age bands of the plan, in whole years. */
export const AGE_BANDS = ['0-1', '2-3', '4-6', '7-9', '10-13', '14-17', 'adult'] as const;

export type AgeBand = (typeof AGE_BANDS)[number];

/** A ceiling other than the default. One above the default must name who approved it, why and when. */
export interface CeilingSettings {
  /** Expected A-weighted equivalent level at the child's place, in dBA. Any plausible number: what is unsafe is refused where levels are computed. */
  readonly laeqDba: number;
  readonly approvedBy?: string;
  readonly reason?: string;
  /** `YYYY-MM-DD`. */
  readonly date?: string;
}

/** What can be done about a sound that is hard for the child. */
export const HARD_SOUND_WAYS = ['leave-out', 'soften', 'alone'] as const;

/**
 * `leave-out`: not heard at home. `soften`: always dull and even. `alone`: not among the others, but
 * on a ladder of its own after theirs, and then with them.
 */
export type HardSoundWay = (typeof HARD_SOUND_WAYS)[number];

export interface HardSound {
  /** Name of the scan. */
  readonly scan: string;
  readonly how: HardSoundWay;
}

type Some<T> = { readonly [K in keyof T]?: T[K] | undefined };

/** Steps of a plan, where a study has its own. */
interface LadderSettings {
  readonly first?: Some<LadderConstants['first']> | undefined;
  readonly changes?: readonly PlannedChange[] | undefined;
  readonly ending?: readonly PlannedChange[] | undefined;
}

/** Constants of the plan that a study sets itself. */
export interface ConstantSettings extends Some<PlanScalars> {
  readonly layout?: Some<LayoutConstants> | undefined;
  readonly rules?: Some<RuleConstants> | undefined;
  /** Of the child's age, whichever it is. */
  readonly band?: (Some<Pick<BandConstants, 'longestSessionMinutes'>> & LadderSettings) | undefined;
  readonly soundSensitive?:
    (Some<Omit<SensitiveConstants, keyof LadderConstants>> & LadderSettings) | undefined;
  readonly asleep?:
    | (Some<Omit<AsleepConstants, keyof LadderConstants | 'sessionsPerDay'>> & LadderSettings)
    | undefined;
}

export interface PlanSettings {
  /** For every family of the study; otherwise it follows from the child's age. */
  readonly ageBand?: AgeBand;
  /** For children who are sensitive to sound: softer start, shorter sessions, more days. */
  readonly soundSensitive?: boolean;
  /** For children who are scanned asleep: far softer, played once a night. */
  readonly asleep?: boolean;
  /** Level of the first step in dB re the voice reference; negative. */
  readonly startOffsetDb?: number;
  /** Rise from step to step in dB, more than 0 and at most 3. */
  readonly stepDb?: number;
  readonly sessionsPerDay?: number;
  /** Sound per day, in minutes. */
  readonly minutesPerDay?: number;
  /** Names of scans that the family does not hear. */
  readonly leaveOut?: readonly string[];
  /** Names of scans from gentle to hard; scans that are not named come after them. */
  readonly order?: readonly string[];
  readonly hardSounds?: readonly HardSound[];
  readonly ceiling?: CeilingSettings;
  readonly constants?: ConstantSettings;
}

/**
 * Highest expected level for an awake child without an approval by name, in dBA: 5 dB above ordinary
 * talk at 60 dBA.
 */
export const DEFAULT_CEILING_DBA = 65;
