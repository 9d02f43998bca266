/**
 * `study.yaml` -> study file, or every problem in it at once.
 *
 * @module
 */
import { type Problem, UserError } from '../errors.js';
import { checkStudy, type Path, type Report, unknownKey, valueAt } from './check-study.js';
import { didYouMean } from './did-you-mean.js';
import { quote } from './quote.js';
import { ENTRY_TYPES, PULSEQ } from './scan.js';
import { type ScanEntry, DEFAULT_LANGUAGE, STUDY_FORMAT, type StudyFile } from './study-file.js';
import { type ParsedStudy, STUDY_KEYS, studySchema } from './study-schema.js';
import { parseYaml, type YamlDocument } from './yaml-document.js';

/** Optional parts that may stand empty, as when everything below them is commented out. */
const MAY_BE_EMPTY = ['plan', 'texts', 'approval'];

/**
 * Reads a study file.
 *
 * @param text - The file's text.
 * @param fileName - Name for messages, for example `study.yaml`.
 * @throws {UserError} `BAD_STUDY` with every problem: place, what was found, what is allowed, the fix.
 */
export function readStudyFile(text: string, fileName: string): StudyFile {
  const document = parseYaml(text, fileName);
  const root = asMapping(document, fileName);
  const problems: Problem[] = [];
  const report: Report = (path, reason) => {
    problems.push({ where: document.where(path), ...reason });
  };

  const parsed = studySchema.safeParse(root);
  for (const issue of parsed.error?.issues ?? []) explainIssue(issue, root, report);
  checkStudy(root, report);
  if (problems.length > 0 || !parsed.success) {
    const count = problems.length === 1 ? 'one problem' : `${problems.length} problems`;
    throw new UserError('BAD_STUDY', `${fileName} has ${count}.`, inOrder(problems));
  }
  return toStudyFile(parsed.data, fileName, document.where);
}

function asMapping(document: YamlDocument, fileName: string): Record<string, unknown> {
  const { value } = document;
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) {
    const entries = Object.entries(value).filter(
      ([key, part]) => !(part === null && MAY_BE_EMPTY.includes(key)),
    );
    return Object.fromEntries(entries);
  }
  const found =
    value === undefined || value === null
      ? 'nothing but blank lines or comments'
      : Array.isArray(value)
        ? 'a list'
        : quote(value);
  throw new UserError('BAD_STUDY', `${fileName} is not a study file.`, [
    {
      where: document.where([]),
      found,
      allowed: `"key: value" lines with ${STUDY_KEYS['']!.join(', ')}`,
      fix: 'Start from the example study, or make a study file with: softknock import',
    },
  ]);
}

/** A finding of the schema in words. */
function explainIssue(
  issue: { code: string; path: PropertyKey[]; message: string; keys?: string[] },
  root: unknown,
  report: Report,
): void {
  const path = issue.path as (string | number)[];
  const last = path.at(-1);
  if (issue.code === 'unrecognized_keys') {
    const known = STUDY_KEYS[path.join('.').replace(/\.\d+/g, '[]')] ?? [];
    for (const key of issue.keys ?? []) report([...path, key], unknownKey(key, known));
    return;
  }
  const value = valueAt(root, path);
  if (value === undefined) {
    report(path, {
      found: `${String(last)} is missing`,
      allowed: issue.message,
      fix: `Add ${String(last)}.`,
    });
    return;
  }
  report(path, {
    found: `${typeof last === 'string' ? `${last} is ` : ''}${quote(value)}`,
    allowed: issue.message,
    fix: fixFor(path, value, issue.message),
  });
}

function fixFor(path: Path, value: unknown, allowed: string): string {
  const key = String(path.at(-1));
  if (
    path.length === 1 &&
    key === 'softknock' &&
    typeof value === 'number' &&
    value > STUDY_FORMAT
  ) {
    return 'Use a newer version of softknock for this file.';
  }
  if (key === 'type') {
    const near = typeof value === 'string' ? didYouMean(value, ENTRY_TYPES) : undefined;
    return near === undefined ? 'Write one of these types.' : `Write type: ${near}`;
  }
  if (
    (typeof value === 'number' || typeof value === 'boolean') &&
    /\btext\b|^name of/.test(allowed)
  ) {
    return `Put it in quotes: "${value}"`;
  }
  if (path[0] === 'scans' && key === 'name' && typeof value === 'string') {
    const slug = value
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '');
    if (slug !== '' && slug.length <= 40) return `Write name: ${slug}`;
  }
  return 'Write a value that is allowed.';
}

function toStudyFile(parsed: ParsedStudy, fileName: string, where: StudyFile['where']): StudyFile {
  const { study, scanner, scans, plan, texts, cues, approval } = parsed;
  const file = {
    fileName,
    study: { language: DEFAULT_LANGUAGE, seed: study.name, ...study },
    scanner,
    scans: scans.map((scan, i): ScanEntry => {
      const { name, plainName, type, file, ...fields } = scan;
      const entry = {
        name,
        ...(plainName === undefined ? {} : { plainName }),
        fields,
        where: (field?: string) => where(['scans', i, ...(field === undefined ? [] : [field])]),
      };
      return type === PULSEQ ? { ...entry, type, file: file! } : { ...entry, type };
    }),
    plan: plan ?? {},
    texts: texts ?? {},
    ...(cues === undefined ? {} : { cues }),
    ...(approval === undefined ? {} : { approval }),
    where,
  };
  return file as StudyFile;
}

/** By line, and as found within one line. */
function inOrder(problems: readonly Problem[]): readonly Problem[] {
  const lineOf = ({ where }: Problem): number => Number(/:(\d+)(?: |$)/.exec(where)?.[1] ?? 0);
  return problems.toSorted((a, b) => lineOf(a) - lineOf(b));
}
