/**
 * From a study file and what is known of a family to a kit.
 *
 * @module
 */
import path from 'node:path';
import type { KitFamily, KitInputs } from '../kit/kit-inputs.js';
import { type KitPlan, planKit } from '../kit/plan-kit.js';
import { ageBandOf } from '../plan/make-plan.js';
import type { AgeBand } from '../protocol/plan-settings.js';
import { interruptible } from './interrupt.js';
import { sha256 } from './kit-folder.js';
import { type KitMaterial, loadKitMaterial } from './kit-material.js';
import { kitStudyOf } from './kit-study.js';
import { loadStudy } from './load-study.js';
import { writeKit, type WrittenKit } from './write-kit.js';
import { requireNoZip, zipKit } from './zip-kit.js';

export interface KitRequest {
  readonly studyFile: string;
  /** Id of the family in the study. */
  readonly family: string;
  readonly ageYears?: number | undefined;
  readonly scanDate?: string | undefined;
  readonly startDate?: string | undefined;
  readonly wav: boolean;
  readonly today: string;
  readonly softwareVersion: string;
}

/** A kit that is decided on and not yet built. */
export interface PreparedKit {
  readonly inputs: KitInputs;
  readonly kitPlan: KitPlan;
  readonly material: KitMaterial;
  /** Sentences for staff. */
  readonly warnings: readonly string[];
}

/** Band of a child whose age nobody gave: the youngest for whom scans are usually planned awake. */
const BAND_WITHOUT_AGE: AgeBand = '4-6';

/**
 * Reads the study and decides on the kit; nothing is written.
 *
 * @throws {UserError} The study cannot be used, no plan can be made, or a level passes a gate.
 */
export async function prepareKit(request: KitRequest): Promise<PreparedKit> {
  const study = await loadStudy(request.studyFile);
  const material = await loadKitMaterial(study.file.study.language);
  const { ageYears } = request;
  const fromAge = ageYears === undefined ? undefined : ageBandOf(ageYears, material.constants);
  const ageBand = fromAge ?? study.file.plan.ageBand ?? BAND_WITHOUT_AGE;
  const warnings =
    fromAge === undefined && study.file.plan.ageBand === undefined
      ? [`No age was given: the plan is that for ${ageBand} years. Give --age.`]
      : [];
  const { family: id, scanDate, startDate, today, softwareVersion, wav } = request;
  const family: KitFamily = { id, ageBand, scanDate, startDate };
  const inputs: KitInputs = {
    study: kitStudyOf(study),
    family,
    constants: material.constants,
    texts: material.texts,
    today,
    softwareVersion,
    wav,
  };
  const kitPlan = planKit(inputs, sha256);
  return { inputs, kitPlan, material, warnings: [...warnings, ...kitPlan.warnings] };
}

export interface MakeKitOptions {
  /** Folder in which the kit's own folder is made. */
  readonly out: string;
  /** Whether it is packed into one file, too. */
  readonly zip: boolean;
  /** Called for each audio file that is encoded. */
  readonly onEncoded?: () => void;
}

export interface MadeKit extends WrittenKit {
  /** Path of the packed kit. */
  readonly archive: string | null;
}

/**
 * Builds a prepared kit below `out`.
 *
 * @throws {UserError} `CANNOT_WRITE`. @throws {InterruptedError} The program was told to stop.
 */
export function makeKit(
  { inputs, kitPlan, material }: PreparedKit,
  { out, zip, onEncoded }: MakeKitOptions,
): Promise<MadeKit> {
  return interruptible(async signal => {
    if (zip) await requireNoZip(path.join(out, kitPlan.code));
    const kit = await writeKit(inputs, kitPlan, {
      out,
      material,
      signal,
      ...(onEncoded === undefined ? {} : { onEncoded }),
    });
    return { ...kit, archive: zip ? await zipKit(kit.folder, signal) : null };
  });
}
