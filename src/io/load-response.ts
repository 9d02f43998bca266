/**
 * The response that a study names: one that ships with the program, a table of magnitudes (.csv,
 * .tsv), or impulse responses (.wav: one channel for all axes, or three for x, y, z).
 *
 * @module
 */
import path from 'node:path';
import { impulseResponse, magnitudeResponse } from '../acoustics/measured-response.js';
import type { ScannerResponse } from '../acoustics/response.js';
import { parseResponseTable } from '../acoustics/response-table.js';
import { UserError } from '../errors.js';
import { SAMPLE_RATE_HZ } from '../signal/sound.js';
import type { Library } from './library.js';
import { readAudio } from './read-audio.js';
import { readText } from './read-text.js';

/** Largest table accepted, in bytes; 20 000 rows of three axes have about 1 000 000. */
const MAX_BYTES = 10_000_000;

/** Longest impulse response accepted, in s: longer ones are recordings, not responses. */
const MAX_IMPULSE_SECONDS = 2;

/**
 * @param name - As in the study file: a shipped name, or a path relative to the study file's folder.
 * @param folder - The study file's folder.
 * @param where - Place of the name, for messages.
 * @throws {UserError} There is no such response, or its file cannot be read.
 */
export async function loadResponse(
  name: string,
  folder: string,
  where: string,
  library: Library,
  reference: ScannerResponse,
): Promise<ScannerResponse> {
  const shipped = library.responses.get(name);
  if (shipped !== undefined) return shipped;
  const file = path.resolve(folder, name);
  const kind = path.extname(name).toLowerCase();
  if (kind === '.csv' || kind === '.tsv') {
    const table = parseResponseTable(await readText(file, MAX_BYTES, 'BAD_STUDY'), name);
    return magnitudeResponse(name, table, reference);
  }
  if (kind === '.wav') return fromWav(file, name);
  throw new UserError('BAD_STUDY', 'The study names a response that does not exist.', [
    {
      where,
      found: `response "${name}"`,
      allowed: `${[...library.responses.keys()].join(', ')}, or a .csv or .wav file`,
      fix: 'Name one of these, or leave response out to take the one nearest to the field strength.',
    },
  ]);
}

async function fromWav(file: string, name: string): Promise<ScannerResponse> {
  const audio = await readAudio(file);
  const problem = (found: string, allowed: string, fix: string): UserError =>
    new UserError('BAD_STUDY', `${name} is not an impulse response.`, [
      { where: name, found, allowed, fix },
    ]);
  if (audio.sampleRateHz !== SAMPLE_RATE_HZ) {
    throw problem(`${audio.sampleRateHz} Hz`, `${SAMPLE_RATE_HZ} Hz`, 'Resample the file.');
  }
  const channels = await audio.samples();
  const [x, y = x, z = x] = channels;
  if (x === undefined || y === undefined || z === undefined || channels.length === 2) {
    throw problem(
      `${channels.length} channels`,
      'one for all axes, or three for x, y, z',
      'Give as many channels.',
    );
  }
  if (x.length === 0 || x.length > MAX_IMPULSE_SECONDS * SAMPLE_RATE_HZ) {
    throw problem(
      `${(x.length / SAMPLE_RATE_HZ).toFixed(1)} s`,
      `up to ${MAX_IMPULSE_SECONDS} s`,
      'Cut the file to the response itself.',
    );
  }
  return impulseResponse(name, { x, y, z });
}
