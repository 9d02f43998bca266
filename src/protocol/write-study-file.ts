/**
 * A study as `study.yaml` text, for people to go on with: every field with its unit and where its
 * value is from.
 *
 * @module
 */
import { stringify } from 'yaml';
import { FAMILY_FIELDS } from './families.js';
import { FIELDS, type FieldName, type FieldValue } from './fields.js';
import type { Sourced } from './origin.js';
import type { PlanSettings } from './plan-settings.js';
import { type EntryType, PULSEQ, type ScanFields } from './scan.js';
import {
  type Approval,
  type Contact,
  type Language,
  STUDY_FORMAT,
  type StudyTexts,
} from './study-file.js';

export interface DraftScan {
  readonly name: string;
  readonly plainName?: string;
  readonly type: EntryType;
  readonly fields: ScanFields;
  /** For type `pulseq`: path of its file, from the folder of the study file. */
  readonly file?: string;
  /** Sentences above the scan. */
  readonly notes?: readonly string[];
  /** Fields that the scan's sound needs and that are not here: they will be assumed. */
  readonly missing?: readonly FieldName[];
}

export interface StudyDraft {
  /** Sentences at the top of the file. */
  readonly notes?: readonly string[];
  readonly study: {
    readonly name: string;
    readonly contact: Contact;
    readonly language?: Language;
    readonly seed?: string;
  };
  /** Sentences above the study's name and contact. */
  readonly studyNotes?: readonly string[];
  readonly scanner: {
    readonly name?: string;
    readonly MagneticFieldStrength: Sourced<number>;
    readonly MaximumGradientAmplitude?: Sourced<number>;
    readonly MaximumSlewRate?: Sourced<number>;
    readonly response?: Sourced<string>;
  };
  readonly scans: readonly DraftScan[];
  readonly plan?: PlanSettings;
  readonly texts?: StudyTexts;
  readonly approval?: Approval;
}

/** Widest line of a comment that stands by itself, in characters. */
const COMMENT_WIDTH = 96;

/** Units of the scanner's numbers. */
const SCANNER_UNITS: Readonly<Record<string, string>> = {
  MagneticFieldStrength: 'T',
  MaximumGradientAmplitude: 'mT/m',
  MaximumSlewRate: 'T/m/s',
};

/** The text of a study file. The same draft gives the same text; `readStudyFile` reads it back. */
export function writeStudyFile(draft: StudyDraft): string {
  const sections = [
    [...comments(draft.notes), `softknock: ${STUDY_FORMAT}`],
    ['study:', ...indent([...comments(draft.studyNotes), ...plainLines({ ...draft.study })])],
    ['scanner:', ...indent(scannerLines(draft.scanner))],
    [
      ...comments(['In the order of the scan day. Field names and units follow BIDS.']),
      'scans:',
      ...draft.scans.flatMap((scan, i) => [...(i > 0 ? [''] : []), ...indent(scanLines(scan))]),
    ],
    ...(['plan', 'texts', 'approval'] as const).flatMap(key => {
      const lines = plainLines({ ...draft[key] });
      return lines.length > 0 ? [[`${key}:`, ...indent(lines)]] : [];
    }),
  ];
  return `${sections.map(lines => lines.join('\n')).join('\n\n')}\n`;
}

function scannerLines(scanner: StudyDraft['scanner']): string[] {
  const { name, ...limits } = scanner;
  return [
    ...(name === undefined ? [] : [`name: ${scalar(name)}`]),
    ...Object.entries(limits).map(([key, value]) =>
      sourcedLine(key, value as Sourced<number | string>, SCANNER_UNITS[key] ?? ''),
    ),
  ];
}

function scanLines(scan: DraftScan): string[] {
  const fields = scan.type === PULSEQ ? [] : FAMILY_FIELDS[scan.type];
  const names = fields.filter(name => scan.fields[name] !== undefined);
  const keys = [
    `name: ${scalar(scan.name)}`,
    ...(scan.plainName === undefined ? [] : [`plainName: ${scalar(scan.plainName)}`]),
    `type: ${scan.type}`,
    ...(scan.file === undefined ? [] : [`file: ${scalar(scan.file)}`]),
    ...inReadingOrder(names).map(name => sourcedLine(name, scan.fields[name]!, FIELDS[name].unit)),
    ...comments(missingNote(scan.missing ?? [])),
  ];
  return [...comments(scan.notes), ...keys.map((line, i) => (i === 0 ? `- ${line}` : `  ${line}`))];
}

/** Timing first, as people read a protocol; then the rest in the order of the dictionary. */
function inReadingOrder(names: readonly FieldName[]): readonly FieldName[] {
  return (Object.keys(FIELDS) as FieldName[]).filter(name => names.includes(name));
}

function missingNote(missing: readonly FieldName[]): readonly string[] {
  if (missing.length === 0) return [];
  return [`Not found in the files, so estimated unless you add it: ${missing.join(', ')}.`];
}

/** One field: `RepetitionTime: 0.8 # s, given: RepetitionTime of the sidecar`. */
function sourcedLine(
  key: string,
  { value, origin, why }: Sourced<FieldValue>,
  unit: string,
): string {
  const words = `${unit === '' ? '' : `${unit}, `}${origin}: ${why}`;
  return `${key}: ${inline(value)} # ${oneLine(words)}`;
}

/** Keys and values without comments; nested mappings indented; undefined left out. */
function plainLines(values: Readonly<Record<string, unknown>>): string[] {
  return Object.entries(values).flatMap(([key, value]) => {
    if (value === undefined) return [];
    if (typeof value !== 'object' || value === null || Array.isArray(value)) {
      return [`${key}: ${inline(value as FieldValue | readonly string[])}`];
    }
    const lines = plainLines(value as Record<string, unknown>);
    return lines.length > 0 ? [`${key}:`, ...indent(lines)] : [];
  });
}

function inline(value: FieldValue | readonly string[]): string {
  if (typeof value === 'string') return scalar(value);
  if (typeof value !== 'object') return decimal(value);
  return `[${value.map(item => (typeof item === 'string' ? scalar(item) : decimal(item))).join(', ')}]`;
}

/** Text as YAML writes it: in quotes where it, or a slight change of it, could be read as something else. */
function scalar(text: string): string {
  const plain = oneScalar(text, 'PLAIN');
  const risky = plain.includes('\n') || /[,[\]{}]|^[+\d]/.test(text);
  return risky ? oneScalar(text, 'QUOTE_DOUBLE') : plain;
}

/** Without the line end after it, and with every space that belongs to it. */
function oneScalar(text: string, defaultStringType: 'PLAIN' | 'QUOTE_DOUBLE'): string {
  return stringify(text, { lineWidth: 0, defaultStringType }).replace(/\n$/, '');
}

/** A number without exponent, which people misread; exact when read back. */
function decimal(value: number | boolean): string {
  if (typeof value === 'boolean') return String(value);
  const text = String(value);
  if (!text.includes('e')) return text;
  const fixed = value.toFixed(12).replace(/0+$/, '').replace(/\.$/, '');
  return Number(fixed) === value ? fixed : text;
}

const indent = (lines: readonly string[]): string[] =>
  lines.map(line => (line === '' ? '' : `  ${line}`));

/** Sentences as comment lines. */
function comments(sentences: readonly string[] = []): string[] {
  return sentences.flatMap(sentence => wrap(oneLine(sentence)).map(line => `# ${line}`));
}

function wrap(text: string): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= COMMENT_WIDTH) {
      lines[lines.length - 1] = `${last} ${word}`;
    } else lines.push(word);
  }
  return lines;
}

/** No line ends and control characters, which would end a comment. */
const oneLine = (text: string): string => text.replace(/[\p{Cc}\p{Zl}\p{Zp}\s]+/gu, ' ').trim();
