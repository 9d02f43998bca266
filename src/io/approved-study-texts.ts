/**
 * The words of a study's kits, settled: read by a native speaker, and, once the study has an approval,
 * the very words that were approved.
 *
 * @module
 */
import path from 'node:path';
import { type Problem, UserError } from '../errors.js';
import {
  type ApprovedTexts,
  changedTexts,
  familyTexts,
  parseApprovedTexts,
  type StudyWords,
  textsHash,
} from '../kit/words/approved-texts.js';
import { unreviewedProblems, withReview } from '../kit/words/text-review.js';
import type { Texts } from '../kit/words/texts.js';
import type { Approval, StudyFile } from '../protocol/study-file.js';
import { parseYaml } from '../protocol/yaml-document.js';
import { sha256 } from './kit-folder.js';
import { readText } from './read-text.js';

/** Largest file of approved texts that is read, in bytes: fifty times the usual. */
const MAX_BYTES = 5_000_000;

export interface SettledTexts {
  readonly texts: Texts;
  /** Sentences for staff. */
  readonly warnings: readonly string[];
}

/**
 * Settles the words for a kit.
 *
 * @param studyFile - Path of the study file: the approved texts lie beside it.
 * @throws {UserError} `BAD_STUDY`: the study has an approval, and words are not reviewed, or not those
 * that were approved. Every string is named.
 */
export async function settleTexts(
  texts: Texts,
  study: StudyWords,
  file: StudyFile,
  studyFile: string,
): Promise<SettledTexts> {
  const settled = withReview(texts, file.texts.review);
  const unreviewed = unreviewedProblems(settled);
  if (file.approval === undefined) {
    const warning = `The translation (${texts.language}) is not reviewed by a native speaker yet; page and guide say so.`;
    return { texts: settled, warnings: unreviewed.length > 0 ? [warning] : [] };
  }
  const changed = await changedSinceApproval(
    file.approval,
    familyTexts(settled, study),
    file,
    studyFile,
  );
  const problems = [...unreviewed, ...changed];
  if (problems.length === 0) return { texts: settled, warnings: [] };
  throw new UserError(
    'BAD_STUDY',
    `The words of this study are not final, and ${file.fileName} has an approval.`,
    problems,
  );
}

async function changedSinceApproval(
  { texts: place, textsHash: hash }: Approval,
  now: ApprovedTexts,
  { fileName, where }: StudyFile,
  studyFile: string,
): Promise<readonly Problem[]> {
  if (place === undefined || hash === undefined) {
    return [
      {
        where: where(['approval']),
        found: 'an approval that does not say of which words',
        allowed: 'texts and textsHash, as softknock freeze prints them',
        fix: `Run softknock freeze ${fileName}, have those words approved, and add both lines.`,
      },
    ];
  }
  const approved = await readApprovedTexts(path.resolve(path.dirname(studyFile), place), place);
  const problems = changedTexts(approved, now);
  if (textsHash(approved, sha256) === hash) return problems;
  return [
    {
      where: where(['approval', 'textsHash']),
      found: `${place} with the hash ${textsHash(approved, sha256)}`,
      allowed: `the approved texts, with the hash ${hash}`,
      fix: 'Take the file that was approved, with the hash that was printed for it.',
    },
    ...problems,
  ];
}

async function readApprovedTexts(file: string, name: string): Promise<ApprovedTexts> {
  const text = await readText(file, MAX_BYTES, 'BAD_STUDY');
  return parseApprovedTexts(parseYaml(text, name, 'BAD_STUDY').value, name);
}
