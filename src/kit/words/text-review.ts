/**
 * Who has read the words of a language: every translation starts as not reviewed, and a study clears
 * it by name.
 *
 * @module
 */
import type { Problem } from '../../errors.js';
import type { TextReview } from '../../protocol/study-file.js';
import { TEXT_KEYS, type Texts } from './texts.js';

/** The texts as a study may use them: reviewed, when the study names who read this language. */
export const withReview = (texts: Texts, review: TextReview | undefined): Texts =>
  review?.language === texts.language ? { ...texts, review: 'reviewed', unreviewed: [] } : texts;

/** What nobody has read: the language as a whole, or each string by name, section by section. */
export function unreviewedProblems({ language, unreviewed }: Texts): readonly Problem[] {
  const problem = (where: string, found: string): Problem => ({
    where,
    found,
    allowed: 'in a study with an approval, words that a native speaker has read',
    fix: `Have them read; then add texts.review with language: ${language}, by and date to the study file.`,
  });
  const file = `texts/${language}.yaml`;
  if (unreviewed.length === TEXT_KEYS.length) {
    return [problem(file, `none of its ${TEXT_KEYS.length} strings reviewed`)];
  }
  const sections = new Map<string, string[]>();
  for (const path of unreviewed) {
    const dot = path.indexOf('.');
    const section = path.slice(0, dot);
    sections.set(section, [...(sections.get(section) ?? []), path.slice(dot + 1)]);
  }
  return [...sections].map(([section, keys]) =>
    problem(`${file} ${section}`, `not reviewed: ${keys.join(', ')}`),
  );
}
