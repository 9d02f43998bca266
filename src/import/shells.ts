/**
 * Diffusion shells from the b-values of the volumes.
 *
 * @module
 */
import type { FieldName, FieldValue } from '../protocol/fields.js';
import { derived, type Sourced } from '../protocol/origin.js';

/** b-values up to this, in s/mm2, count as none: scanners write 5 or 10 for it. */
const UNWEIGHTED = 50;

/** b-values closer than this, in s/mm2, are of one shell: scanners write 995 and 1005 for 1000. */
const SAME_SHELL = 60;

/** Shells are named by the nearest multiple of this, in s/mm2. */
const NAME_STEP = 50;

/** Shells, directions and volumes of a diffusion scan; nothing without b-values. */
export function readShells(
  bValues: readonly number[] | undefined,
): Partial<Record<FieldName, Sourced<FieldValue>>> {
  if (bValues === undefined || bValues.length === 0) return {};
  const shells: { readonly from: number; to: number; sum: number; count: number }[] = [];
  for (const b of bValues.toSorted((a, b) => a - b)) {
    const value = b <= UNWEIGHTED ? 0 : b;
    const last = shells.at(-1);
    if (last !== undefined && value - last.to <= (last.to === 0 ? 0 : SAME_SHELL)) {
      last.to = value;
      last.sum += value;
      last.count++;
    } else shells.push({ from: value, to: value, sum: value, count: 1 });
  }
  const names = shells.map(({ sum, count }) => Math.round(sum / count / NAME_STEP) * NAME_STEP);
  const weighted = shells.filter(({ to }) => to > 0);
  const fields: Partial<Record<FieldName, Sourced<FieldValue>>> = {
    DiffusionBValues: derived(names, `b-values of ${bValues.length} volumes`),
    NumberOfVolumes: derived(bValues.length, `${bValues.length} b-values, one for each volume`),
  };
  if (weighted.length > 0) {
    const largest = Math.max(...weighted.map(({ count }) => count));
    fields.NumberOfDirections = derived(
      largest,
      weighted.length === 1
        ? `${largest} volumes with weighting`
        : `volumes of the largest shell (${weighted.map(({ count }) => count).join(', ')})`,
    );
  }
  return fields;
}
