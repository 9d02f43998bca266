/**
 * The words that an ethics board approved: all that families of a study read, frozen by their hash,
 * and what has changed since.
 *
 * Frozen are the texts of the kit's language and what the study adds of its own: its name, its note for
 * the guide, the names of its scans. Numbers, dates and the contact are not words of a study: they may
 * change.
 *
 * @module
 */
import { type Problem, UserError } from '../../errors.js';
import type { ProtocolScan } from '../content.js';
import { TEXT_SHAPE } from './texts-shape.js';
import type { Texts } from './texts.js';

/** Every string by its key: `volume.keep`, `volume.steps[2]`, `study.guideNote`. */
export type FamilyTexts = ReadonlyMap<string, string>;

export interface ApprovedTexts {
  readonly language: string;
  readonly texts: FamilyTexts;
}

/** What a study adds of its own. */
export interface StudyWords {
  readonly name: string;
  readonly guideNote?: string | undefined;
  readonly scans: readonly Pick<ProtocolScan, 'name' | 'plainName'>[];
}

/** The words that families of a study read, in the order of the texts. */
export function familyTexts({ language, words }: Texts, study: StudyWords): ApprovedTexts {
  const texts = new Map<string, string>([['study.name', study.name]]);
  if (study.guideNote !== undefined) texts.set('study.guideNote', study.guideNote);
  for (const { name, plainName } of study.scans) texts.set(`scans.${name}`, plainName);
  for (const section of Object.keys(TEXT_SHAPE)) {
    const entries = words[section as keyof typeof TEXT_SHAPE] as Record<
      string,
      string | readonly string[]
    >;
    for (const key of Object.keys(TEXT_SHAPE[section as keyof typeof TEXT_SHAPE])) {
      const value = entries[key]!;
      if (typeof value === 'string') texts.set(`${section}.${key}`, value);
      else for (const [i, item] of value.entries()) texts.set(`${section}.${key}[${i + 1}]`, item);
    }
  }
  return { language, texts };
}

/** SHA-256 of texts, whatever their order, in lower-case hexadecimal. */
export function textsHash(
  { language, texts }: ApprovedTexts,
  sha256: (text: string) => string,
): string {
  const lines = [...texts].map(entry => JSON.stringify(entry)).sort();
  return sha256([language, ...lines].join('\n'));
}

/**
 * The texts as a YAML file for a board to read and for a study to keep.
 *
 * @param hash - Theirs, for the study file.
 */
export function formatApprovedTexts({ language, texts }: ApprovedTexts, hash: string): string {
  // A JSON string is a YAML string in double quotes (YAML 1.2.2, 1.3).
  const lines = [...texts].map(([key, text]) => `  ${quoted(key)}: ${JSON.stringify(text)}`);
  return `# All words that families of this study read, as they go to the ethics board. Keep this file as it
# is: a kit with an approval is built only from these words. {braces} are filled in later.
language: ${language}
hash: ${hash}
texts:
${lines.join('\n')}
`;
}

/** Brackets would start a list; quotes keep them in a key. */
const quoted = (key: string): string => (key.includes('[') ? `"${key}"` : key);

/**
 * Texts from the parsed content of such a file.
 *
 * @param where - Its name, for messages.
 * @throws {UserError} `BAD_STUDY`: it is something else.
 */
export function parseApprovedTexts(parsed: unknown, where: string): ApprovedTexts {
  const { language, texts } = (parsed ?? {}) as { language?: unknown; texts?: unknown };
  const entries = typeof texts === 'object' && texts !== null ? Object.entries(texts) : [];
  const isWhole =
    typeof language === 'string' &&
    entries.length > 0 &&
    entries.every((entry): entry is [string, string] => typeof entry[1] === 'string');
  if (isWhole) return { language, texts: new Map(entries) };
  throw new UserError('BAD_STUDY', `${where} does not hold approved texts.`, [
    {
      where,
      found: 'no language, or no texts by their keys',
      allowed: 'the file that softknock freeze wrote',
      fix: 'Take the file that went to the ethics board.',
    },
  ]);
}

/** Every string that is not as approved: before and after. */
export function changedTexts(approved: ApprovedTexts, now: ApprovedTexts): readonly Problem[] {
  if (approved.language !== now.language) {
    return [
      {
        where: 'study.language',
        found: `texts in the language ${now.language}`,
        allowed: `as approved: ${approved.language}`,
        fix: 'Ask for approval of this language, or go back to the approved one.',
      },
    ];
  }
  const keys = new Set([...approved.texts.keys(), ...now.texts.keys()]);
  return [...keys].flatMap(key => {
    const [before, after] = [approved.texts.get(key), now.texts.get(key)];
    return before === after ? [] : [{ where: key, ...change(before, after) }];
  });
}

function change(before: string | undefined, after: string | undefined): Omit<Problem, 'where'> {
  return {
    found: after === undefined ? 'now: nothing' : `now: “${after}”`,
    allowed: before === undefined ? 'as approved: nothing' : `as approved: “${before}”`,
    fix: 'Go back to the approved words, or have the new ones approved (softknock freeze).',
  };
}
