/**
 * Everything about a kit that is decided before its audio is made: limits, plan, code. What must not
 * be built is refused here, before anything is written.
 *
 * @module
 */
import { UserError } from '../errors.js';
import {
  type Ceiling,
  ceilingInForce,
  ceilingOverSleep,
  type Listener,
  type OffsetLimits,
  offsetLimits,
} from '../levels/limits.js';
import type { RankedSound } from '../levels/gentleness.js';
import { type MeasuredDevice, voiceLevel } from '../levels/measured-device.js';
import type { LevelRange } from '../levels/scan-levels.js';
import type { LadderInput } from '../plan/ladder.js';
import { secondsOfSound } from '../plan/layout.js';
import { makePlan } from '../plan/make-plan.js';
import { mostMinutes, tooManyMinutes } from '../plan/minutes.js';
import type { Plan } from '../plan/plan.js';
import type { PlanConstants } from '../protocol/plan-constants.js';
import { type PlanPreset, planPreset, type Preset } from '../protocol/plan-preset.js';
import { DEFAULT_CEILING_DBA } from '../protocol/plan-settings.js';
import type { ProtocolScan } from './content.js';
import { kitCode } from './kit-code.js';
import type { KitInputs, KitStudy } from './kit-inputs.js';
import { rankScans } from './audio/rank-scans.js';

/** Whose limits hold: they go by the age band alone. */
export const listenerOf = ({ ageBand }: { readonly ageBand: string }): Listener =>
  ageBand === 'adult' ? 'adult' : 'child';

export interface KitPlan {
  readonly code: string;
  readonly listener: Listener;
  readonly ceiling: Ceiling;
  readonly limits: OffsetLimits;
  /** Level of the voice reference at the listener's place, dBA. */
  readonly voiceDba: LevelRange;
  /** What narrows it; null where the volume is set by ear. */
  readonly measuredDevice: MeasuredDevice | null;
  /**
   * Level of the short voice in each step re the voice reference: 0, or the ceiling if that is lower. For
   * a child asleep it is no help with the volume: as soft as the softest step, so that it wakes nobody.
   */
  readonly voiceOffsetDb: number;
  /** With the study's own settings, as they hold for this family. */
  readonly constants: PlanConstants;
  readonly preset: PlanPreset;
  /** What the steps were made from. */
  readonly ladder: LadderInput;
  /** Its sounds from gentle to hard, by what their audio is like. */
  readonly ranking: readonly RankedSound[];
  readonly plan: Plan;
  /** Sentences for staff. */
  readonly warnings: readonly string[];
}

/**
 * Decides on a kit.
 *
 * @throws {UserError} `UNSAFE`: a level passes a gate. `BAD_STUDY`, `BAD_USAGE`: no plan can be made.
 */
export function planKit(inputs: KitInputs, sha256: (text: string) => string): KitPlan {
  const plan = planUnranked(inputs, sha256);
  const names = plan.ladder.scans.map(({ name }) => name);
  return { ...plan, ranking: rankScans(inputs.study, names) };
}

/**
 * The same without the ranking: where staff put all sounds in order, nothing is listened to for it.
 *
 * @throws {UserError} As {@link planKit}.
 */
export function planUnranked(
  inputs: KitInputs,
  sha256: (text: string) => string,
): Omit<KitPlan, 'ranking'> {
  const { study, family } = inputs;
  const listener = listenerOf(family);
  const preset = presetFor(inputs);
  const isAsleep = preset.preset === 'asleep';
  // Over sleep the ceiling is so low that a measurement allows nothing more.
  const measuredDevice = isAsleep ? null : (family.measuredDevice ?? null);
  const voiceDba = voiceLevel(measuredDevice, '--voice-dba');
  const awake = ceilingInForce(
    study.plan.ceiling,
    listener,
    study.where(['plan', 'ceiling']),
    voiceDba,
  );
  const ceiling = isAsleep ? ceilingOverSleep(awake) : awake;
  const limits = offsetLimits(ceiling, listener, voiceDba);
  const hardSounds = study.plan.hardSounds ?? [];
  const scans = heardScans(study);
  const names = scans.map(({ name }) => name);
  const ladder: LadderInput = {
    scans,
    gentleOrder: gentleOrder(study, names),
    hardSounds,
    interludes: study.interludes,
    ceilingDb: limits.laeqDb,
    preset,
  };
  const plan = makePlan({
    ...ladder,
    today: inputs.today,
    scanDate: family.scanDate,
    startDate: family.startDate,
  });
  requireMinutes(plan, study.where(['plan']));
  const { constants } = preset;
  return {
    code: kitCode(study.seed, family.id, sha256),
    listener,
    ceiling,
    limits,
    voiceDba,
    measuredDevice,
    voiceOffsetDb: Math.min(
      limits.laeqDb,
      0,
      ...(isAsleep ? plan.steps.map(({ levelDb }) => levelDb) : []),
    ),
    constants,
    preset,
    ladder,
    plan,
    warnings: [
      ...(ceiling.raisedBy === null ? [] : [raisedNote(ceiling)]),
      ...(study.approval === null ? [DRAFT_NOTE] : []),
      ...(preset.preset === 'sound-sensitive' ? [SENSITIVE_NOTE] : []),
      ...plan.notes,
    ],
  };
}

/** The preset of the study or of the family's answers; the gentler of both. */
function presetFor({ study, family, constants }: KitInputs): PlanPreset {
  const { plan } = study;
  const asks = (preset: Preset): boolean => family.preset === preset;
  // Children under two are scanned asleep: there is no plan for them awake.
  const isAsleep = plan.asleep === true || asks('asleep') || family.ageBand === '0-1';
  const isSensitive = plan.soundSensitive === true || asks('sound-sensitive');
  const name = isAsleep ? 'asleep' : isSensitive ? 'sound-sensitive' : 'awake';
  return planPreset(constants, plan, family.ageBand, name)!;
}

/** Scans without those that the study leaves out. */
function heardScans({ scans, plan, where }: KitStudy): readonly ProtocolScan[] {
  const { leaveOut = [], hardSounds = [] } = plan;
  const left = [
    ...leaveOut,
    ...hardSounds.filter(({ how }) => how === 'leave-out').map(({ scan }) => scan),
  ];
  const heard = scans.filter(({ name }) => !left.includes(name));
  if (heard.length > 0) return heard;
  throw new UserError('BAD_STUDY', 'There is nothing to practise.', [
    {
      where: where(['scans']),
      found: 'no scan but table motion, pre-scan, pauses, and what is left out',
      allowed: 'at least one scan to listen to',
      fix: 'Add the scans of the protocol, or leave fewer out.',
    },
  ]);
}

/** The rules of the calendar hold minutes down; this is the gate behind them. */
function requireMinutes({ steps, sessions }: Plan, where: string): void {
  const seconds = new Map(steps.map(step => [step.number, secondsOfSound(step)]));
  const minutes = mostMinutes(sessions, step => seconds.get(step) ?? Number.NaN);
  const problems = tooManyMinutes(minutes, where);
  if (problems.length === 0) return;
  throw new UserError('UNSAFE', 'This plan has too many minutes of sound.', problems);
}

const SENSITIVE_NOTE =
  'This plan is for a child who is sensitive to sound: let a clinician or a behaviour specialist go through it first, and stay in touch with the family.';

const DRAFT_NOTE =
  'The study file names no ethics approval: page and guide are marked as a draft. Add approval to the study file.';

/** What stands wherever the kit shows its level. */
export function raisedNote({ laeqDba, raisedBy }: Ceiling): string {
  const { name, date, reason } = raisedBy!;
  return `The ceiling is ${laeqDba} dBA, above the default of ${DEFAULT_CEILING_DBA} dBA: approved by ${name} on ${date} (${reason}).`;
}

/** Scans from gentle to hard: as staff say; the others as their sounds are ranked. */
function gentleOrder(study: KitStudy, names: readonly string[]): readonly string[] {
  const given = (study.plan.order ?? []).filter(name => names.includes(name));
  // Listening takes seconds: not before a plan that may be refused, where staff have said it all.
  if (given.length === names.length) return given;
  const ranked = rankScans(study, names).map(({ name }) => name);
  return [...given, ...ranked.filter(name => !given.includes(name))];
}
