/**
 * Values that cannot be true are left out of what is imported, each with a note, so that one wrong
 * value in a sidecar does not spoil the rest.
 *
 * @module
 */
import { checkField } from '../protocol/check-field.js';
import { findContradictions } from '../protocol/contradictions.js';
import type { FieldName } from '../protocol/fields.js';
import type { ScanFields, ScanType } from '../protocol/scan.js';

/** Which of several contradicting values goes first. */
const CERTAINTY = { assumed: 0, derived: 1, given: 2 } as const;

/** Fields that are possible and agree with one another, and notes on those that were left out. */
export function pruneFields(
  type: ScanType,
  fields: ScanFields,
): { readonly fields: ScanFields; readonly notes: readonly string[] } {
  const notes: string[] = [];
  const kept = new Map(Object.entries(fields) as [FieldName, NonNullable<ScanFields[FieldName]>][]);
  for (const [name, { value }] of kept) {
    const reason = checkField(name, value);
    if (reason === undefined) continue;
    kept.delete(name);
    notes.push(`Left out: ${reason.found}; allowed is ${reason.allowed}.`);
  }
  for (;;) {
    const values = Object.fromEntries([...kept].map(([name, { value }]) => [name, value]));
    const [contradiction] = findContradictions(type, values);
    if (contradiction === undefined) return { fields: Object.fromEntries(kept), notes };
    const { fields: names, found, allowed } = contradiction;
    const certainty = (name: FieldName): number => CERTAINTY[kept.get(name)!.origin];
    const doubtful = names.toSorted((a, b) => certainty(a) - certainty(b))[0]!;
    kept.delete(doubtful);
    notes.push(`Left out: ${doubtful}, since ${found} contradict; allowed is ${allowed}.`);
  }
}
