/**
 * The words of a study, written down for its ethics board.
 *
 * @module
 */
import path from 'node:path';
import { familyTexts, formatApprovedTexts, textsHash } from '../kit/words/approved-texts.js';
import { withReview } from '../kit/words/text-review.js';
import { sha256 } from './kit-folder.js';
import { loadKitMaterial } from './kit-material.js';
import { kitStudyOf } from './kit-study.js';
import { loadStudy } from './load-study.js';
import { writeNewText } from './write-new-text.js';

export interface FrozenTexts {
  /** Path of the file. */
  readonly file: string;
  readonly hash: string;
  /** Number of strings, and of those that no native speaker has read. */
  readonly count: number;
  readonly unreviewed: number;
}

/**
 * @param out - Path of the file, from the folder of the study file.
 * @throws {UserError} The study cannot be used, or the file is there already.
 */
export async function freezeTexts(studyFile: string, out: string): Promise<FrozenTexts> {
  const study = await loadStudy(studyFile);
  const { texts } = await loadKitMaterial(study.file.study.language);
  const settled = withReview(texts, study.file.texts.review);
  const frozen = familyTexts(settled, kitStudyOf(study));
  const hash = textsHash(frozen, sha256);
  const file = path.resolve(path.dirname(studyFile), out);
  await writeNewText(file, formatApprovedTexts(frozen, hash));
  return { file, hash, count: frozen.texts.size, unreviewed: settled.unreviewed.length };
}
