/**
 * From a study file and what is known of a family to a kit.
 *
 * @module
 */
import path from 'node:path';
import { UserError } from '../errors.js';
import { codingOf } from '../kit/build.js';
import { kitContent } from '../kit/kit-content.js';
import type { KitFamily, KitInputs, KitStudy } from '../kit/kit-inputs.js';
import { practiceRoom } from '../kit/audio/practice-room.js';
import { type KitPlan, planKit, planUnranked } from '../kit/plan-kit.js';
import type { MeasuredDevice } from '../levels/measured-device.js';
import { ageBandOf } from '../plan/make-plan.js';
import { didYouMean } from '../protocol/did-you-mean.js';
import { heldBy, type IntakeFlag, presetOf, requireCleared, withAge } from '../protocol/intake.js';
import type { PlanConstants } from '../protocol/plan-constants.js';
import type { AgeBand, HardSound } from '../protocol/plan-settings.js';
import { printable } from '../protocol/quote.js';
import type { StudyFile } from '../protocol/study-file.js';
import { type ClearanceRow, recordClearance } from './clearance-record.js';
import { diskMemory } from './disk-memory.js';
import { interruptible } from './interrupt.js';
import { sha256 } from './kit-folder.js';
import { type KitMaterial, loadKitMaterial } from './kit-material.js';
import { withKitTools } from './kit-tools.js';
import { loadKitStudy } from './load-kit-study.js';
import { rankAhead } from './rank-on-two-cores.js';
import { settleTexts } from './approved-study-texts.js';
import { requireStaffFolder, writeStaffFolder } from './staff-folder.js';
import { packageVersion } from './version.js';
import { writeKit, type WrittenKit } from './write-kit.js';
import { requireNoZip, zipKit } from './zip-kit.js';

export interface KitRequest {
  readonly studyFile: string;
  /** Id of the family in the study. */
  readonly family: string;
  readonly ageYears?: number | undefined;
  readonly scanDate?: string | undefined;
  readonly startDate?: string | undefined;
  /** What the family said yes to; undefined when nobody asked. */
  readonly intake?: readonly IntakeFlag[] | undefined;
  /** Sounds that are hard for this child, beside those of the study. */
  readonly hardSounds?: readonly HardSound[] | undefined;
  /** Who cleared a child whose answers hold the kit. */
  readonly clearedBy?: string | undefined;
  /** The family's device, as it was measured. */
  readonly measured?: Omit<MeasuredDevice, 'date'> | undefined;
  /** Whether steps are written as WAV files too, as audio CDs too, or small enough to be mailed. */
  readonly wav?: boolean | undefined;
  readonly disc?: boolean | undefined;
  readonly small?: boolean | undefined;
  /** Whether what earlier runs made is used, and kept for later ones; true unless given. */
  readonly cache?: boolean | undefined;
  /** `YYYY-MM-DD`. */
  readonly today: string;
}

/** A kit that is decided on and not yet built. */
export interface PreparedKit {
  readonly inputs: KitInputs;
  readonly kitPlan: KitPlan;
  readonly material: KitMaterial;
  /** Who cleared what; null when nothing had to be. */
  readonly clearance: Omit<ClearanceRow, 'kit'> | null;
  /** Sentences for staff. */
  readonly warnings: readonly string[];
}

/** Band of a child whose age nobody gave: the youngest for whom scans are usually planned awake. */
const BAND_WITHOUT_AGE: AgeBand = '4-6';

/** A grown listener, in years: younger ones have the limits of children, whatever a study says. */
const ADULT_YEARS = 18;

/**
 * Reads the study and decides on the kit; nothing is written.
 *
 * @throws {UserError} The study cannot be used, no plan can be made, or a level passes a gate.
 */
export async function prepareKit(request: KitRequest): Promise<PreparedKit> {
  const memory = request.cache === false ? undefined : diskMemory();
  const loadedStudy = await loadKitStudy(request.studyFile, memory);
  const { file, warnings: leftOut } = loadedStudy;
  const study = withHardSounds(loadedStudy.study, request.hardSounds ?? []);
  const loaded = await loadKitMaterial(file.study.language);
  const settled = await settleTexts(loaded.texts, study, file, request.studyFile);
  const material: KitMaterial = { ...loaded, texts: settled.texts };
  const { ageBand, warnings } = chooseBand(request.ageYears, file, material.constants);
  const { family: id, scanDate, startDate, today } = request;
  const { wav = false, disc = false, small = false } = request;
  const { flags, clearance } = requireIntake(request);
  const family: KitFamily = {
    id,
    ageBand,
    scanDate,
    startDate,
    preset: presetOf(flags),
    measuredDevice:
      request.measured === undefined ? undefined : { ...request.measured, date: today },
  };
  const inputs: KitInputs = {
    study,
    family,
    constants: material.constants,
    devices: material.devices,
    texts: material.texts,
    today,
    softwareVersion: packageVersion(),
    wav,
    disc,
    small,
  };
  // A plan that staff ordered whole can be refused before anything is listened to.
  const ordered = study.plan.order ?? [];
  if (study.scans.every(({ name }) => ordered.includes(name))) planUnranked(inputs, sha256);
  await rankAhead(study);
  const kitPlan = planKit(inputs, sha256);
  if (disc && kitPlan.preset.preset === 'asleep') throw discOverSleep();
  // Nobody should wait for a refusal.
  codingOf(inputs, kitPlan);
  return {
    inputs,
    kitPlan,
    material,
    clearance,
    warnings: [
      ...(request.intake === undefined ? [NOT_ASKED] : []),
      ...leftOut,
      ...warnings,
      ...kitPlan.warnings,
      ...settled.warnings,
    ],
  };
}

/** The study with what is hard for one child; that goes before what the study says of the same sounds. */
function withHardSounds(study: KitStudy, own: readonly HardSound[]): KitStudy {
  const known = study.scans.map(({ name }) => name);
  const unknown = own.filter(({ scan }) => !known.includes(scan));
  if (unknown.length > 0) {
    throw new UserError(
      'BAD_USAGE',
      'The command cannot be carried out.',
      unknown.map(({ scan }) => {
        const near = didYouMean(scan, known);
        return {
          where: '--hard',
          found: `"${printable(scan)}", which is no sound of this study`,
          allowed: known.join(', '),
          fix: near === undefined ? 'Name one of these scans.' : `Did you mean ${near}?`,
        };
      }),
    );
  }
  const others = (study.plan.hardSounds ?? []).filter(
    ({ scan }) => !own.some(other => other.scan === scan),
  );
  return { ...study, plan: { ...study.plan, hardSounds: [...others, ...own] } };
}

/** A disc begins with the reference, which is as loud as talk, and goes on from step to step. */
const discOverSleep = (): UserError =>
  new UserError('UNSAFE', 'There is no disc for a child who is scanned asleep.', [
    {
      where: '--disc',
      found: 'a CD player, which runs on by itself into louder steps',
      allowed: 'the page, or one file a night',
      fix: 'Leave out --disc.',
    },
  ]);

const NOT_ASKED =
  'Nobody was asked about this child: ask what stands under Cautions in --help, then give the answers with --intake (none, if nothing applies).';

/** @throws {UserError} `UNSAFE`: an answer holds the kit, and nobody has cleared it. */
function requireIntake({ intake = [], ageYears, clearedBy, today }: KitRequest): {
  readonly flags: readonly IntakeFlag[];
  readonly clearance: PreparedKit['clearance'];
} {
  const flags = withAge(intake, ageYears);
  requireCleared(
    flags,
    clearedBy === undefined ? undefined : { by: clearedBy, on: today },
    '--intake',
  );
  const held = heldBy(flags);
  return {
    flags,
    clearance: held.length === 0 ? null : { flags: held, clearedBy: clearedBy!, clearedOn: today },
  };
}

/**
 * The band that the study names for all its families, else that of the age.
 *
 * @throws {UserError} `UNSAFE`: the study takes a child for an adult.
 */
function chooseBand(
  ageYears: number | undefined,
  { plan, where }: StudyFile,
  constants: PlanConstants,
): { readonly ageBand: AgeBand; readonly warnings: readonly string[] } {
  const fromAge = ageYears === undefined ? undefined : ageBandOf(ageYears, constants);
  if (plan.ageBand === 'adult' && ageYears !== undefined && ageYears < ADULT_YEARS) {
    throw new UserError('UNSAFE', 'A child would get the limits of an adult.', [
      {
        where: where(['plan', 'ageBand']),
        found: `ageBand: adult, for a child of ${ageYears} years`,
        allowed: `adult from ${ADULT_YEARS} years`,
        fix: 'Leave ageBand out of the study file, so that it follows from the age.',
      },
    ]);
  }
  // No setting makes a plan for a child who is awake into one for a baby asleep.
  if (fromAge === '0-1') return { ageBand: fromAge, warnings: [] };
  const ageBand = plan.ageBand ?? fromAge;
  if (ageBand !== undefined) return { ageBand, warnings: [] };
  const warning = `No age was given: the plan is that for ${BAND_WITHOUT_AGE} years. Give --age.`;
  return { ageBand: BAND_WITHOUT_AGE, warnings: [warning] };
}

export interface MakeKitOptions {
  /** Folder in which the kit's own folder is made. */
  readonly out: string;
  /** Whether it is packed into one file, too. */
  readonly zip?: boolean | undefined;
  /** Whether what the study's own staff use is written, too. */
  readonly staff?: boolean | undefined;
  /** Called for each audio file that is encoded. */
  readonly onEncoded?: () => void;
}

export interface MadeKit extends WrittenKit {
  /** Path of the packed kit. */
  readonly archive: string | null;
  /** Path of the folder for staff. */
  readonly staffFolder: string | null;
}

/**
 * Builds a prepared kit below `out`.
 *
 * @throws {UserError} `CANNOT_WRITE`. @throws {InterruptedError} The program was told to stop.
 */
export function makeKit(
  { inputs, kitPlan, material, clearance }: PreparedKit,
  { out, zip = false, staff = false, onEncoded }: MakeKitOptions,
): Promise<MadeKit> {
  return interruptible(async signal => {
    const folder = path.join(out, kitPlan.code);
    if (zip) await requireNoZip(folder);
    if (staff) await requireStaffFolder(folder);
    // First of all: there is no kit without a record of who cleared it.
    if (clearance !== null) await recordClearance(out, { kit: kitPlan.code, ...clearance });
    const kit = await writeKit(inputs, kitPlan, {
      out,
      material,
      signal,
      ...(onEncoded === undefined ? {} : { onEncoded }),
    });
    const content = kitContent(kit.manifest);
    return {
      ...kit,
      staffFolder: staff
        ? await writeStaffFolder(folder, content, {
            material,
            signal,
            practiceRoom:
              kitPlan.preset.preset === 'asleep'
                ? null
                : await withKitTools(material, { signal }, tools =>
                    practiceRoom(inputs, kitPlan, tools),
                  ),
          })
        : null,
      archive: zip ? await zipKit(kit.folder, signal) : null,
    };
  });
}
