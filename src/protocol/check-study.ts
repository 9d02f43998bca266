/**
 * The checks of a study file that go beyond its shape: the fields of each scan, and what takes more
 * than one place of the file to see. They work on the values as parsed, so that they also run on a
 * file that has other problems.
 *
 * @module
 */
import { type Reason, allowedIn, checkField } from './check-field.js';
import { findContradictions } from './contradictions.js';
import { didYouMean } from './did-you-mean.js';
import { FAMILY_FIELDS } from './families.js';
import { FIELD_NAMES, type FieldName, type FieldValue, isFieldName } from './fields.js';
import { DEFAULT_CEILING_DBA } from './plan-settings.js';
import { printable } from './quote.js';
import { type EntryType, PULSEQ, SCAN_TYPES, type ScanType } from './scan.js';
import { DEFAULT_LANGUAGE, END_CUE } from './study-file.js';
import { scanSchema } from './study-schema.js';

export type Path = readonly (string | number)[];

/** Takes down one problem and its place. */
export type Report = (path: Path, reason: Reason) => void;

/** Keys of a scan that are not fields. */
const SCAN_KEYS = Object.keys(scanSchema.shape);

/** Reports every problem of a study that its schema does not see. */
export function checkStudy(root: unknown, report: Report): void {
  const scans = valueAt(root, ['scans']);
  const list = Array.isArray(scans) ? (scans as unknown[]) : [];
  for (const [i, scan] of list.entries()) checkScan(scan, ['scans', i], report);
  checkNames(list, report);
  checkContact(root, report);
  checkPlanScans(root, list, report);
  checkCeiling(root, report);
  checkCueNames(root, list, report);
  checkReview(root, report);
  checkApproval(root, report);
}

/** The value at a path; undefined where the path leads nowhere. */
export function valueAt(root: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null && Object.hasOwn(value, key)
        ? (value as Record<string | number, unknown>)[key]
        : undefined,
    root,
  );
}

/** A key that nobody reads. */
export function unknownKey(key: string, known: readonly string[]): Reason {
  const near = didYouMean(key, known);
  return {
    found: `an unknown key, "${printable(key)}"`,
    allowed: known.join(', '),
    fix: near === undefined ? 'Remove it.' : `Write ${near} if that is meant; otherwise remove it.`,
  };
}

/** The fields of one scan. Its name, plain name and type are checked by the schema. */
function checkScan(scan: unknown, path: Path, report: Report): void {
  if (typeof scan !== 'object' || scan === null || Array.isArray(scan)) return;
  const type = (scan as { type?: unknown }).type;
  const known = fieldsOf(type);
  const keys = SCAN_KEYS.filter(key => key !== 'file' || type === PULSEQ);
  const good: Partial<Record<FieldName, FieldValue>> = {};
  for (const [key, value] of Object.entries(scan)) {
    if (SCAN_KEYS.includes(key)) continue;
    if (!isFieldName(key)) report([...path, key], unknownKey(key, [...keys, ...known]));
    else if (!known.includes(key))
      report([...path, key], foreignField(key, type as EntryType, keys));
    else {
      const reason = checkField(key, value);
      if (reason === undefined) good[key] = value as FieldValue;
      else report([...path, key], reason);
    }
  }
  checkFile(scan, path, report);
  if (!isScanType(type)) return;
  for (const { fields, found, allowed, fix } of findContradictions(type, good)) {
    report([...path, fields[0]!], { found, allowed, fix });
  }
}

/** The fields that may stand in a scan of a type; every one where the type is not known. */
function fieldsOf(type: unknown): readonly FieldName[] {
  if (type === PULSEQ) return [];
  return isScanType(type) ? FAMILY_FIELDS[type] : FIELD_NAMES;
}

/** A scan is played from a file if, and only if, its type says so. */
function checkFile(scan: object, path: Path, report: Report): void {
  const { type, file } = scan as { type?: unknown; file?: unknown };
  if (type === PULSEQ && file === undefined) {
    report([...path, 'file'], {
      found: 'file is missing',
      allowed: 'path of a Pulseq file (.seq), from the folder of this file',
      fix: 'Add file.',
    });
  } else if (isScanType(type) && file !== undefined) {
    report([...path, 'file'], {
      found: `file in a scan of type ${type}, which is not played from one`,
      allowed: `file in a scan of type ${PULSEQ}`,
      fix: `Write type: ${PULSEQ}, or remove file.`,
    });
  }
}

/** A field of another type of scan. */
function foreignField(name: FieldName, type: EntryType, keys: readonly string[]): Reason {
  if (type === PULSEQ) {
    return {
      found: `${name} in a scan of type ${type}, which does not use it`,
      allowed: keys.join(', '),
      fix: 'Remove it: all that the scan does stands in its file.',
    };
  }
  const owners = SCAN_TYPES.filter(other => FAMILY_FIELDS[other].includes(name));
  return {
    found: `${name} in a scan of type ${type}, which does not use it`,
    allowed: FAMILY_FIELDS[type].join(', '),
    fix: `Remove it, or correct the type: ${owners.join(', ')} ${owners.length === 1 ? 'has' : 'have'} ${name} (${allowedIn(name)}).`,
  };
}

function checkNames(scans: readonly unknown[], report: Report): void {
  const seen = new Set<unknown>();
  for (const [i, scan] of scans.entries()) {
    const name = (scan as { name?: unknown } | null)?.name;
    if (typeof name !== 'string') continue;
    if (seen.has(name)) {
      report(['scans', i, 'name'], {
        found: `a second scan named "${printable(name)}"`,
        allowed: 'a name of its own for each scan',
        fix: `Rename it, for example ${printable(name)}-2.`,
      });
    }
    seen.add(name);
  }
}

/** The clip for the end of a step has the name of no scan. */
function checkCueNames(root: unknown, scans: readonly unknown[], report: Report): void {
  if (valueAt(root, ['cues']) === undefined) return;
  for (const [i, scan] of scans.entries()) {
    if (valueAt(scan, ['name']) !== END_CUE) continue;
    report(['scans', i, 'name'], {
      found: `a scan named ${END_CUE}, in a study with recorded cues`,
      allowed: `another name: ${END_CUE} is the clip for the end of a step`,
      fix: `Rename it, for example ${END_CUE}-scan.`,
    });
  }
}

/** A family must be able to ask. */
function checkContact(root: unknown, report: Report): void {
  const contact = valueAt(root, ['study', 'contact']);
  if (typeof contact !== 'object' || contact === null) return;
  if ('phone' in contact || 'email' in contact) return;
  report(['study', 'contact'], {
    found: 'neither phone nor email',
    allowed: 'at least one of them, so that a family can ask',
    fix: 'Add phone or email.',
  });
}

/** The lists of scans in the plan, against the scans of the study. */
function checkPlanScans(root: unknown, scans: readonly unknown[], report: Report): void {
  const names = scans.map(scan => valueAt(scan, ['name']));
  const known = names.filter(name => typeof name === 'string');
  for (const key of ['leaveOut', 'order']) {
    const list = valueAt(root, ['plan', key]);
    if (!Array.isArray(list)) continue;
    for (const [i, name] of (list as unknown[]).entries()) {
      if (typeof name !== 'string') continue;
      const reason = checkScanName(name, list.indexOf(name) !== i, known);
      if (reason !== undefined) report(['plan', key, i], reason);
    }
  }
  checkHardSounds(root, known, report);
  const left = leftOut(root);
  if (known.length > 0 && known.every(name => left.includes(name))) {
    report(['plan', 'leaveOut'], {
      found: 'every scan of the study',
      allowed: 'at least one scan left to play',
      fix: 'Remove a name from leaveOut.',
    });
  }
}

function checkHardSounds(root: unknown, known: readonly string[], report: Report): void {
  const list = valueAt(root, ['plan', 'hardSounds']);
  if (!Array.isArray(list)) return;
  const names = (list as unknown[]).map(entry => valueAt(entry, ['scan']));
  for (const [i, name] of names.entries()) {
    if (typeof name !== 'string') continue;
    const reason = checkScanName(name, names.indexOf(name) !== i, known);
    if (reason !== undefined) report(['plan', 'hardSounds', i, 'scan'], reason);
  }
}

/** Names that the plan leaves out, in either way. */
function leftOut(root: unknown): readonly unknown[] {
  const list = valueAt(root, ['plan', 'leaveOut']);
  const hard = valueAt(root, ['plan', 'hardSounds']);
  return [
    ...(Array.isArray(list) ? (list as unknown[]) : []),
    ...(Array.isArray(hard) ? (hard as unknown[]) : [])
      .filter(entry => valueAt(entry, ['how']) === 'leave-out')
      .map(entry => valueAt(entry, ['scan'])),
  ];
}

/** A ceiling above the default needs somebody who answers for it. */
function checkCeiling(root: unknown, report: Report): void {
  const laeqDba = valueAt(root, ['plan', 'ceiling', 'laeqDba']);
  if (typeof laeqDba !== 'number' || laeqDba <= DEFAULT_CEILING_DBA) return;
  const missing = ['approvedBy', 'reason', 'date'].filter(
    key => valueAt(root, ['plan', 'ceiling', key]) === undefined,
  );
  if (missing.length === 0) return;
  report(['plan', 'ceiling'], {
    found: `a ceiling of ${laeqDba} dBA without ${missing.join(', ')}`,
    allowed: `up to ${DEFAULT_CEILING_DBA} dBA without approval; more with approvedBy, reason and date`,
    fix: `Add ${missing.join(', ')}, or lower laeqDba to ${DEFAULT_CEILING_DBA}.`,
  });
}

/** A review of another language would clear nothing. */
function checkReview(root: unknown, report: Report): void {
  const reviewed = valueAt(root, ['texts', 'review', 'language']);
  const language = valueAt(root, ['study', 'language']) ?? DEFAULT_LANGUAGE;
  if (typeof reviewed !== 'string' || typeof language !== 'string' || reviewed === language) return;
  report(['texts', 'review', 'language'], {
    found: `a review of ${printable(reviewed)}, in a study whose kits are in ${printable(language)}`,
    allowed: `the language of the kits, ${printable(language)}`,
    fix: 'Correct one of the two languages, or remove the review.',
  });
}

/** The approved words are named by their place and their hash, or not at all. */
function checkApproval(root: unknown, report: Report): void {
  const approval = valueAt(root, ['approval']);
  if (typeof approval !== 'object' || approval === null) return;
  const missing = ['texts', 'textsHash'].filter(key => !Object.hasOwn(approval, key));
  if (missing.length !== 1) return;
  report(['approval'], {
    found: `an approval without ${missing[0]!}`,
    allowed: 'texts and textsHash together',
    fix: `Add ${missing[0]!}, as softknock freeze prints it.`,
  });
}

function checkScanName(name: string, again: boolean, names: readonly string[]): Reason | undefined {
  if (again)
    return { found: `"${name}" a second time`, allowed: 'each scan once', fix: 'Remove it.' };
  if (names.includes(name)) return undefined;
  const near = didYouMean(name, names);
  return {
    found: `"${name}", which is no scan of this study`,
    allowed: names.join(', '),
    fix: near === undefined ? 'Remove it.' : `Write ${near} if that is meant.`,
  };
}

const isScanType = (type: unknown): type is ScanType => SCAN_TYPES.includes(type as ScanType);
