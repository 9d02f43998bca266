/**
 * A Pulseq file as a scan of an imported protocol.
 *
 * @module
 */
import type { ImportedScan, ImportResult, SkippedFile } from './import-sidecars.js';
import { PULSEQ } from '../protocol/scan.js';

/** A Pulseq file that was found to be one that can be played, or why it is not. */
export type SequenceFile =
  | {
      /** Path as given. */
      readonly path: string;
      /** Path from the folder of the study file. */
      readonly file: string;
      /** Pulseq version, for people. */
      readonly version: string;
      /** Names of extensions that are left out. */
      readonly unknownExtensions: readonly string[];
    }
  | SkippedFile;

/** What is said of an extension that nobody here knows. */
export const unheardExtension = (name: string): string =>
  `It uses the extension ${name}, which is not known here: if that plays gradients, they are not heard.`;

/** Longest name of a scan that is made here, in characters; the study file allows 40. */
const MAX_NAME = 36;

/** Adds Pulseq files to what was imported from sidecars, behind its scans. */
export function withSequences(
  result: ImportResult,
  sequences: readonly SequenceFile[],
): ImportResult {
  if (sequences.length === 0) return result;
  const names = new Set(result.scans.map(({ name }) => name));
  const scans: ImportedScan[] = [...result.scans];
  const skipped: SkippedFile[] = [...result.skipped];
  for (const sequence of sequences) {
    if ('why' in sequence) {
      skipped.push(sequence);
      continue;
    }
    const name = freeName(nameOf(sequence.path), names);
    names.add(name);
    scans.push({
      name,
      type: PULSEQ,
      file: sequence.file,
      fields: {},
      missing: [],
      notes: [
        `Played from a Pulseq ${sequence.version} file, which must stay where it is.`,
        ...sequence.unknownExtensions.map(unheardExtension),
      ],
      files: [sequence.path],
    });
  }
  return { ...result, scans, skipped };
}

/** A scan's name from the name of its file: lower-case letters, digits and hyphens. */
function nameOf(path: string): string {
  const base = path.replace(/^.*[/\\]/, '').replace(/\.seq$/i, '');
  const slug = base
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, MAX_NAME)
    .replace(/^-+|-+$/g, '');
  return slug === '' ? 'sequence' : slug;
}

function freeName(name: string, taken: ReadonlySet<string>): string {
  let free = name;
  for (let i = 2; taken.has(free); i++) free = `${name}-${i}`;
  return free;
}
