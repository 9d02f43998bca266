/**
 * From the fields that a scan gives to every field that its sound needs, each with its origin.
 *
 * A field is what the study file gives; else what a rule derives from given fields; else the typical
 * value of its family; else what a rule makes of assumed fields. A value that rests on an assumed one
 * is itself assumed, and says on which.
 *
 * @module
 */
import { FAMILIES } from './families.js';
import type { Rule } from './families/family.js';
import { type FieldName, type FieldValue, FIELDS } from './fields.js';
import { formatValue } from './format-value.js';
import { assumed, derived, given, type Sourced } from './origin.js';
import type { Scan, Scanner, ScanType } from './scan.js';
import type { FamilyEntry, PulseqEntry, ScannerEntry } from './study-file.js';

/** A typical value of a family, from its file in `sounds-synth/scans/`. */
export interface TypicalValue {
  readonly value: FieldValue;
  /** Where the value is from, or what the absence of the field means. */
  readonly source: string;
  /**
   * Whether leaving the field out says this value (no acceleration, no partial Fourier ...), so that
   * nothing is assumed.
   */
  readonly absence: boolean;
}

/** What is typical of a family. */
export interface TypicalScan {
  readonly type: ScanType;
  /** Name for families to read, used when the study gives none. */
  readonly plainName: string;
  readonly fields: Readonly<Partial<Record<FieldName, TypicalValue>>>;
}

/** Name for families of a scan that is played from a file, when the study gives none. */
const PULSEQ_PLAIN_NAME = 'Study scan';

/** Gradient system assumed when a study file does not give its limits. */
const TYPICAL_GRADIENTS = {
  amplitude: 80,
  slewRate: 200,
  source: 'a strong whole-body gradient system; common practice, no source',
};

/** Hearing protection assumed when a study file does not say. */
const TYPICAL_PROTECTION = {
  name: 'plugs-and-muffs',
  source: 'plugs under ear defenders, as children mostly wear; common practice, no source',
};

/** Fills in what a study file leaves out about its scanner. */
export function resolveScanner(entry: ScannerEntry, where: (key: string) => string): Scanner {
  const { amplitude, slewRate, source } = TYPICAL_GRADIENTS;
  const orAssumed = <T>(key: keyof ScannerEntry, value: T | undefined, typical: T): Sourced<T> =>
    value === undefined ? assumed(typical, source) : given(value, where(key));
  const tesla = entry.MagneticFieldStrength;
  return {
    MagneticFieldStrength: given(tesla, where('MagneticFieldStrength')),
    MaximumGradientAmplitude: orAssumed(
      'MaximumGradientAmplitude',
      entry.MaximumGradientAmplitude,
      amplitude,
    ),
    MaximumSlewRate: orAssumed('MaximumSlewRate', entry.MaximumSlewRate, slewRate),
    response:
      entry.response === undefined
        ? derived(genericResponseName(tesla), `generic model nearest to ${tesla} T`)
        : given(entry.response, where('response')),
    protection:
      entry.protection === undefined
        ? assumed(TYPICAL_PROTECTION.name, TYPICAL_PROTECTION.source)
        : given(entry.protection, where('protection')),
  };
}

/** Name of the shipped response model for a field strength in tesla. */
export function genericResponseName(tesla: number): string {
  if (tesla < 2.2) return 'generic-1.5t';
  return tesla < 5 ? 'generic-3t' : 'generic-7t';
}

/**
 * Fills in every field of a scan.
 *
 * @param entry - The scan as its study file gives it.
 * @param typical - Typical values of its family.
 */
export function resolveScan(entry: FamilyEntry, typical: TypicalScan): Scan {
  const known = new Map<FieldName, Sourced<FieldValue>>();
  const { fields: names, rules: allRules } = FAMILIES[entry.type];
  for (const name of names) {
    const value = entry.fields[name];
    if (value !== undefined) known.set(name, given(value, entry.where(name)));
  }
  const rules = allRules.filter(rule => names.includes(rule.field));
  const exactRules = rules.filter(rule => !rule.estimate);
  const typicalFields = Object.entries(typical.fields) as [FieldName, TypicalValue][];
  // One field at a time, in the order of the family's file, and the rules in between: a later field
  // may already follow from the earlier ones.
  for (const [name, { value, source, absence }] of typicalFields) {
    if (!absence) continue;
    deriveAll(exactRules, known);
    if (!known.has(name)) known.set(name, derived(value, source));
  }
  for (const [name, { value, source, absence }] of typicalFields) {
    if (absence) continue;
    deriveAll(rules, known);
    if (!known.has(name)) known.set(name, assumed(value, source));
  }
  deriveAll(rules, known);

  return {
    name: entry.name,
    plainName: entry.plainName ?? typical.plainName,
    type: entry.type,
    fields: Object.fromEntries(names.flatMap(name => entryOf(known, name))),
  };
}

/** A scan that is played from a Pulseq file: it has no fields. */
export const resolvePulseqScan = (entry: PulseqEntry, fileHash: string): Scan => ({
  name: entry.name,
  plainName: entry.plainName ?? PULSEQ_PLAIN_NAME,
  type: entry.type,
  fields: {},
  fileHash,
});

/** Applies rules until none adds a field, exact ones before estimates. */
function deriveAll(rules: readonly Rule[], known: Map<FieldName, Sourced<FieldValue>>): void {
  const exactFirst = [
    ...rules.filter(rule => !rule.estimate),
    ...rules.filter(rule => rule.estimate),
  ];
  while (exactFirst.some(rule => apply(rule, known)));
}

/** Applies one rule if its field is open and its inputs are known. Returns whether it added the field. */
function apply(rule: Rule, known: Map<FieldName, Sourced<FieldValue>>): boolean {
  if (known.has(rule.field) || !rule.from.every(name => known.has(name))) return false;
  const inputs = rule.from.map(name => known.get(name)!);
  const value = rule.value(...inputs.map(input => input.value));
  if (value === undefined) return false;
  const restsOn = rule.from.filter(name => known.get(name)!.origin === 'assumed');
  const why = explain(rule, inputs);
  if (rule.estimate) known.set(rule.field, assumed(value, `estimate: ${why}`));
  else if (restsOn.length === 0) known.set(rule.field, derived(value, why));
  else known.set(rule.field, assumed(value, `${why}; assumed: ${restsOn.join(', ')}`));
  return true;
}

/** The rule in words with its numbers, for example `TR x volumes (RepetitionTime 0.8 s, NumberOfVolumes 400)`. */
function explain(rule: Rule, inputs: readonly Sourced<FieldValue>[]): string {
  const numbers = rule.from.map((name, i) => {
    const { unit } = FIELDS[name];
    return `${name} ${formatValue(inputs[i]!.value)}${unit === '' ? '' : ` ${unit}`}`;
  });
  return `${rule.why} (${numbers.join(', ')})`;
}

function entryOf(
  known: ReadonlyMap<FieldName, Sourced<FieldValue>>,
  name: FieldName,
): [FieldName, Sourced<FieldValue>][] {
  const value = known.get(name);
  return value === undefined ? [] : [[name, value]];
}
