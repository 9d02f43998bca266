/**
 * Pulseq files from the disk.
 *
 * @module
 */
import { createHash } from 'node:crypto';
import path from 'node:path';
import { type Problem, UserError } from '../errors.js';
import { parsePulseq } from '../formats/pulseq/parse-pulseq.js';
import type { PulseqSequence } from '../formats/pulseq/sequence.js';
import { PULSEQ } from '../protocol/scan.js';
import type { StudyFile } from '../protocol/study-file.js';
import { readBytes } from './read-text.js';

/** Largest file accepted, in bytes: ten times a long protocol's. */
const MAX_BYTES = 200_000_000;

/** A sequence with the hash of its file. */
export interface ReadSequence {
  readonly sequence: PulseqSequence;
  /** SHA-256 in hexadecimal digits. */
  readonly fileHash: string;
}

/**
 * Reads a `.seq` file.
 *
 * @param file - Its path.
 * @throws {UserError} `CANNOT_READ` for a file that is missing, unreadable or too large;
 * `BAD_PROTOCOL` with every problem of one that is no Pulseq file, or none that can be played.
 */
export async function readPulseq(file: string): Promise<ReadSequence> {
  const bytes = await readBytes(file, MAX_BYTES);
  // Only ASCII has a meaning in these files; names and comments may be in any encoding.
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1');
  return {
    sequence: parsePulseq(text, path.basename(file)),
    fileHash: createHash('sha256').update(bytes).digest('hex'),
  };
}

/**
 * Reads the file of every scan of a study that is played from one.
 *
 * @param folder - Where the study file is.
 * @returns Sequences by the path that the study file gives.
 * @throws {UserError} with the problems of all these files.
 */
export async function readSequences(
  study: StudyFile,
  folder: string,
): Promise<ReadonlyMap<string, ReadSequence>> {
  const sequences = new Map<string, ReadSequence>();
  const problems: Problem[] = [];
  for (const entry of study.scans) {
    if (entry.type !== PULSEQ || sequences.has(entry.file)) continue;
    try {
      sequences.set(entry.file, await readPulseq(path.resolve(folder, entry.file)));
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      const unread = error.code === 'CANNOT_READ';
      // What cannot be read is a problem of the study file; the rest is one of the file itself.
      for (const problem of error.problems) {
        problems.push(unread ? { ...problem, where: entry.where('file') } : problem);
      }
    }
  }
  if (problems.length === 0) return sequences;
  throw new UserError(
    'BAD_PROTOCOL',
    `${study.fileName} names a Pulseq file that cannot be played.`,
    problems,
  );
}
