/**
 * The levels of an audio file.
 *
 * @module
 */
import { badAudio } from '../formats/bad-audio.js';
import type { Levels } from '../levels/levels.js';
import { Meter } from '../levels/meter.js';
import { raisedCeilingOf } from './levels-of-kit-audio.js';
import { readAudio } from './read-audio.js';

/** A file and what the meter says of it. */
export interface MeasuredFile {
  readonly path: string;
  readonly levels: Levels;
  /** What is unusual about the file, or has to be said with its levels, as sentences. */
  readonly warnings: readonly string[];
}

/** A constant offset above this, 1.0 = full scale, is worth a word: -60 dB. */
const NOTABLE_OFFSET = 0.001;

/**
 * Measures a file from its start to its end, with flat memory.
 *
 * @throws {UserError} `CANNOT_READ` or `BAD_AUDIO`, see `readAudio`; `BAD_AUDIO` too for samples that
 * are not finite numbers.
 */
export async function measureFile(path: string): Promise<MeasuredFile> {
  const audio = await readAudio(path);
  const { sampleRateHz, channels, clippedFrom } = audio;
  const meter = new Meter({
    sampleRateHz,
    channels,
    ...(clippedFrom !== undefined && { clippedFrom }),
  });
  for await (const block of audio.blocks()) {
    try {
      meter.push(block);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      throw badAudio({
        where: path,
        found: error.message,
        allowed: 'numbers around 1, which is full scale',
        fix: 'The program that wrote the file failed: export it again.',
      });
    }
  }
  const levels = meter.result();
  const raised = await raisedCeilingOf(path);
  const warnings = [
    ...audio.warnings,
    ...oddities(levels),
    ...(raised === undefined ? [] : [raised]),
  ];
  return { path, levels, warnings };
}

/** What makes levels mean less than they seem to. */
function oddities({
  durationSeconds,
  clippedSamples,
  offset,
  laeqDbfs,
  lzeqDbfs,
}: Levels): string[] {
  const found: string[] = [];
  if (lzeqDbfs === -Infinity) found.push('The file is silent: every sample is zero.');
  if (clippedSamples > 0) {
    found.push(
      `${clippedSamples} samples are at or beyond full scale: the sound may be clipped, and louder than measured.`,
    );
  }
  // A part of a wave is off zero by itself.
  if (durationSeconds >= 0.1 && Math.abs(offset) > NOTABLE_OFFSET) {
    found.push(
      `The samples are off zero by ${(100 * offset).toFixed(1)} % of full scale on average: LZeq and peaks include that, LAeq (${laeqDbfs.toFixed(1)} dBFS) hardly does.`,
    );
  }
  return found;
}
