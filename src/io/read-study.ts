/**
 * A study file from the disk.
 *
 * @module
 */
import path from 'node:path';
import { readStudyFile } from '../protocol/read-study-file.js';
import type { StudyFile } from '../protocol/study-file.js';
import { readText } from './read-text.js';

/** Largest study file accepted, in bytes; one of 100 scans has about 60 000. */
const MAX_BYTES = 5_000_000;

/**
 * Reads and checks a study file.
 *
 * @param file - Path of the `study.yaml`.
 * @throws {UserError} `CANNOT_READ` or `BAD_STUDY`, with every problem.
 */
export async function readStudy(file: string): Promise<StudyFile> {
  return readStudyFile(await readText(file, MAX_BYTES, 'BAD_STUDY'), path.basename(file));
}
