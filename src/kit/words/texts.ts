/**
 * The words of page, guide and log in one language, checked to be complete.
 *
 * @module
 */
import { UserError, type Problem } from '../../errors.js';
import { TEXT_SHAPE, type Words } from './texts-shape.js';

/**
 * - `source`: the language the words were written in.
 * - `unreviewed`: translated, not yet checked by a native speaker; every document says so.
 * - `reviewed`: checked, but for the strings that the file lists under `except`.
 */
export type ReviewStatus = 'source' | 'unreviewed' | 'reviewed';

const REVIEW_STATUSES: readonly ReviewStatus[] = ['source', 'unreviewed', 'reviewed'];

export interface Texts {
  /** BCP 47 tag. */
  readonly language: string;
  /** Its name in itself. */
  readonly name: string;
  readonly direction: 'ltr' | 'rtl';
  readonly review: ReviewStatus;
  /** Strings that no native speaker has read: `section.key`. */
  readonly unreviewed: readonly string[];
  readonly words: Words;
}

/**
 * Texts from the parsed content of a file in `sounds-synth/texts/`.
 *
 * @param parsed - What the YAML file holds.
 * @param where - Its name, for messages.
 * @throws {UserError} BAD_STUDY, with every string that is missing, unknown or malformed.
 */
export function parseTexts(parsed: unknown, where: string): Texts {
  const problems: Problem[] = [];
  const file = asRecord(parsed);
  const language = headerText(file, 'language');
  const name = headerText(file, 'name');
  const direction = file['direction'];
  const { status: review, except = [] } = asRecord(file['review']);

  if (direction !== 'ltr' && direction !== 'rtl') {
    problems.push(problemAt('direction', direction, 'ltr or rtl'));
  }
  if (!isReviewStatus(review)) {
    problems.push(problemAt('review.status', review, REVIEW_STATUSES.join(', ')));
  }
  if (!isListOf(except, key => TEXT_KEYS.includes(key as string))) {
    problems.push(problemAt('review.except', except, 'a list of keys such as volume.keep'));
  }
  for (const key of Object.keys(file)) {
    if (!HEADER_KEYS.has(key) && !Object.hasOwn(TEXT_SHAPE, key)) problems.push(unknownKey(key));
  }
  for (const [section, keys] of Object.entries(TEXT_SHAPE)) {
    const given = asRecord(file[section]);
    for (const [key, leaf] of Object.entries(keys)) {
      const path = `${section}.${key}`;
      const problem =
        leaf.kind === 'list' ? listProblem(given[key], path) : textProblem(given[key], leaf, path);
      if (problem) problems.push(problem);
    }
    for (const key of Object.keys(given)) {
      if (!Object.hasOwn(keys, key)) problems.push(unknownKey(`${section}.${key}`));
    }
  }

  if (problems.length > 0) {
    throw new UserError(
      'BAD_STUDY',
      `The texts in ${where} are not complete`,
      problems.map(problem => ({ ...problem, where: `${where} ${problem.where}` })),
    );
  }
  return {
    language,
    name,
    direction: direction as Texts['direction'],
    review: review as ReviewStatus,
    unreviewed:
      review === 'unreviewed'
        ? TEXT_KEYS
        : review === 'reviewed'
          ? (except as readonly string[])
          : [],
    // Every section and key was checked against the shape above.
    words: file as unknown as Words,
  };

  function headerText(record: Record<string, unknown>, key: string): string {
    const value = record[key];
    if (typeof value === 'string' && value.trim() !== '') return value;
    problems.push(problemAt(key, value, 'a string'));
    return '';
  }
}

/**
 * A string with its places filled in. What is put in is taken as it is: escape the result, not the
 * parts.
 *
 * @throws {RangeError} A place has no value.
 */
export function fillIn(
  template: string,
  values: Readonly<Record<string, string | number>>,
): string {
  return template.replace(SLOT, (_, slot: string) => {
    const value = values[slot];
    if (value === undefined) throw new RangeError(`no value for {${slot}} in “${template}”`);
    return String(value);
  });
}

/** Every string, as `section.key`. */
export const TEXT_KEYS: readonly string[] = Object.entries(TEXT_SHAPE).flatMap(([section, keys]) =>
  Object.keys(keys).map(key => `${section}.${key}`),
);

const isListOf = (value: unknown, is: (item: unknown) => boolean): boolean =>
  Array.isArray(value) && value.every(is);

const HEADER_KEYS = new Set(['language', 'name', 'direction', 'review']);

const SLOT = /\{(\w+)\}/g;

function textProblem(
  value: unknown,
  leaf: { readonly slots: readonly string[] },
  path: string,
): Problem | undefined {
  if (typeof value !== 'string' || value.trim() === '') return problemAt(path, value, 'a string');
  const found = slotsOf(value);
  const wanted = [...leaf.slots].sort();
  if (found.join() === wanted.join()) return undefined;
  return {
    where: path,
    found: `places ${braces(found)}`,
    allowed: `each of ${braces(wanted)} once`,
    fix: 'Write the places exactly as in en.yaml.',
  };
}

function listProblem(value: unknown, path: string): Problem | undefined {
  const isList =
    Array.isArray(value) &&
    value.length > 0 &&
    value.every(item => typeof item === 'string' && item.trim() !== '' && !slotsOf(item).length);
  return isList ? undefined : problemAt(path, value, 'a list of strings without braces');
}

const slotsOf = (value: string): string[] =>
  [...value.matchAll(SLOT)].map(match => match[1]!).sort();

const braces = (slots: readonly string[]): string =>
  slots.length === 0 ? '(none)' : slots.map(slot => `{${slot}}`).join(', ');

const isReviewStatus = (value: unknown): value is ReviewStatus =>
  REVIEW_STATUSES.some(status => status === value);

const problemAt = (path: string, value: unknown, allowed: string): Problem => ({
  where: path,
  found: value === undefined ? 'nothing' : JSON.stringify(value).slice(0, 80),
  allowed,
  fix: `Write ${path}, as in en.yaml.`,
});

const unknownKey = (path: string): Problem => ({
  where: path,
  found: 'a key that nothing uses',
  allowed: 'the keys of en.yaml',
  fix: 'Correct its spelling or remove it.',
});

function asRecord(value: unknown): Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Record<string, unknown>)
    : {};
}
