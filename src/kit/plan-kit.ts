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
  type Listener,
  type OffsetLimits,
  offsetLimits,
} from '../levels/limits.js';
import { measureSound } from '../levels/measure-sound.js';
import { stepDurationS } from '../plan/layout.js';
import { makePlan } from '../plan/make-plan.js';
import type { Plan } from '../plan/plan.js';
import { type PlanConstants, withPlanSettings } from '../protocol/plan-constants.js';
import { DEFAULT_CEILING_DBA } from '../protocol/plan-settings.js';
import { kitCode } from './kit-code.js';
import type { KitInputs, KitStudy } from './kit-inputs.js';

export interface KitPlan {
  readonly code: string;
  readonly listener: Listener;
  readonly ceiling: Ceiling;
  readonly limits: OffsetLimits;
  /** With the study's own settings. */
  readonly constants: PlanConstants;
  readonly plan: Plan;
  /** Length of all steps' audio together. */
  readonly audioSeconds: number;
  /** Sentences for staff. */
  readonly warnings: readonly string[];
}

/** How long a scan is listened to when its loudness is compared with others, in s. */
const COMPARED_S = 10;

/**
 * Decides on a kit.
 *
 * @throws {UserError} `UNSAFE`: a level passes a gate. `BAD_STUDY`, `BAD_USAGE`: no plan can be made.
 */
export function planKit(inputs: KitInputs, sha256: (text: string) => string): KitPlan {
  const { study, family } = inputs;
  const listener = family.ageBand === 'adult' ? 'adult' : 'child';
  const ceiling = ceilingInForce(study.plan.ceiling, listener, study.where(['plan', 'ceiling']));
  const limits = offsetLimits(ceiling, listener);
  refuseSensitive(study);
  const constants = withPlanSettings(inputs.constants, study.plan);
  const { leaveOut = [] } = study.plan;
  const scans = study.scans.filter(({ name }) => !leaveOut.includes(name));
  const plan = makePlan({
    scans,
    gentleOrder: gentleOrder(
      study,
      scans.map(({ name }) => name),
    ),
    ceilingDb: limits.laeqDb,
    ageBand: family.ageBand,
    constants,
    today: inputs.today,
    scanDate: family.scanDate,
    startDate: family.startDate,
  });
  return {
    code: kitCode(study.seed, family.id, sha256),
    listener,
    ceiling,
    limits,
    constants,
    plan,
    audioSeconds: plan.steps.reduce((sum, step) => sum + stepDurationS(step, constants.layout), 0),
    warnings: [
      ...(ceiling.raisedBy === null ? [] : [raisedNote(ceiling)]),
      ...(study.approval === null ? [DRAFT_NOTE] : []),
      ...plan.notes,
    ],
  };
}

const DRAFT_NOTE =
  'The study file names no ethics approval: page and guide are marked as a draft. Add approval to the study file.';

/** What stands wherever the kit shows its level. */
export function raisedNote({ laeqDba, raisedBy }: Ceiling): string {
  const { name, date, reason } = raisedBy!;
  return `The ceiling is ${laeqDba} dBA, above the default of ${DEFAULT_CEILING_DBA} dBA: approved by ${name} on ${date} (${reason}).`;
}

/** Scans from gentle to hard: as staff say; the others by how loud they are in the scanner. */
function gentleOrder(study: KitStudy, names: readonly string[]): readonly string[] {
  const given = (study.plan.order ?? []).filter(name => names.includes(name));
  const others = names.filter(name => !given.includes(name));
  // One scan needs no comparison.
  if (others.length < 2) return [...given, ...others];
  const loudness = new Map(
    others.map(name => [name, measureSound(study.sound(name, COMPARED_S)).laeqDbfs]),
  );
  return [...given, ...others.toSorted((a, b) => loudness.get(a)! - loudness.get(b)!)];
}

/** The ordinary plan would be too much for a child who is sensitive to sound. */
function refuseSensitive({ plan, where }: KitStudy): void {
  if (plan.soundSensitive !== true) return;
  throw new UserError('BAD_STUDY', 'There is no plan for sound-sensitive children yet.', [
    {
      where: where(['plan', 'soundSensitive']),
      found: 'soundSensitive: true',
      allowed: 'false, for children who are not sensitive to sound',
      fix: "Do not send this child an ordinary kit. Ask the study's clinician.",
    },
  ]);
}
