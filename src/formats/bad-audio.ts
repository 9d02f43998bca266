/**
 * The error for audio that cannot be read.
 *
 * @module
 */
import { UserError } from '../errors.js';

/** What is wrong with a file; sentences without their full stop, but for `fix`. */
export interface AudioProblem {
  /** File name, or another word for the place. */
  readonly where: string;
  readonly found: string;
  readonly allowed: string;
  readonly fix: string;
}

/** What most files that cannot be read need. */
export const CONVERT_FIX =
  'Convert it with any audio program to WAV (16-bit PCM, 44.1 or 48 kHz), or give the right file.';

/** A `BAD_AUDIO` error with one problem. */
export const badAudio = (problem: AudioProblem): UserError =>
  new UserError('BAD_AUDIO', `Cannot read ${problem.where} as audio.`, [problem]);
