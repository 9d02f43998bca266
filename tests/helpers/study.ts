/** Scans and studies for tests, made from short study files. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { type Library, loadLibrary } from '../../src/io/library.js';
import { type LoadedStudy, prepareStudy } from '../../src/io/load-study.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';

export const ROOT = path.resolve(import.meta.dirname, '../..');

/** The demo study's file. */
export const NIGHT_SKY = path.join(ROOT, 'sounds-synth/studies/night-sky/study.yaml');

export const library: Library = await loadLibrary();

/** A study of one scan, named `scan`, at 3 T, from the lines that follow its type. */
export function studyOf(
  type: string,
  fields: Readonly<Record<string, unknown>>,
  scanner = '',
): LoadedStudy {
  const lines = Object.entries(fields).map(
    ([name, value]) => `    ${name}: ${JSON.stringify(value)}\n`,
  );
  const text = `softknock: 1
study: { name: Test study, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: 3${scanner} }
scans:
  - name: scan
    type: ${type}
${lines.join('')}`;
  return prepareStudy(readStudyFile(text, 'study.yaml'), library);
}

/** The demo study, loaded. */
export const nightSky = (): LoadedStudy =>
  prepareStudy(readStudyFile(readFileSync(NIGHT_SKY, 'utf8'), 'study.yaml'), library);
