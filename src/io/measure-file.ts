/**
 * The levels of an audio file.
 *
 * @module
 */
import { badAudio } from '../formats/bad-audio.js';
import type { Levels } from '../levels/levels.js';
import { Meter } from '../levels/meter.js';
import { readAudio } from './read-audio.js';

/** A file and what the meter says of it. */
export interface MeasuredFile {
  readonly path: string;
  readonly levels: Levels;
  /** What is unusual about the file, as sentences. */
  readonly warnings: readonly string[];
}

/**
 * Measures a file from its start to its end, with flat memory.
 *
 * @throws {UserError} `CANNOT_READ` or `BAD_AUDIO`, see `readAudio`; `BAD_AUDIO` too for samples that
 * are not finite numbers.
 */
export async function measureFile(path: string): Promise<MeasuredFile> {
  const audio = await readAudio(path);
  const meter = new Meter({ sampleRateHz: audio.sampleRateHz, channels: audio.channels });
  for await (const block of audio.blocks()) {
    try {
      meter.push(block);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      throw badAudio({
        where: path,
        found: error.message,
        allowed: 'finite samples only',
        fix: 'The program that wrote the file failed: export it again.',
      });
    }
  }
  const levels = meter.result();
  return { path, levels, warnings: audio.warnings };
}
