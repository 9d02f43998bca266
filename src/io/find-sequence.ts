/**
 * Pulseq files to import.
 *
 * @module
 */
import path from 'node:path';
import { UserError } from '../errors.js';
import type { SequenceFile } from '../import/import-pulseq.js';
import { readPulseq } from './read-pulseq.js';

export const isPulseqPath = (given: string): boolean => /\.seq$/i.test(given);

/**
 * Reads a Pulseq file to see that it can be played.
 *
 * @param studyFolder - Where the study file will be.
 */
export async function findSequence(given: string, studyFolder: string): Promise<SequenceFile> {
  try {
    const { sequence } = await readPulseq(given);
    const file = path.relative(studyFolder, given).split(path.sep).join('/');
    const { version, unknownExtensions } = sequence;
    return { path: given, file, version: version.text, unknownExtensions };
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    const [first] = error.problems;
    if (first === undefined) return { file: given, why: error.message };
    const place = first.where === given ? '' : `${first.where}: `;
    return { file: given, why: `${place}${first.found}; allowed: ${first.allowed}` };
  }
}
