/**
 * BIDS datasets and sidecars from the disk, ready to import.
 *
 * @module
 */
import { type Dirent } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { type SequenceFile, withSequences } from '../protocol/import-pulseq.js';
import {
  importSidecars,
  type ImportResult,
  type SkippedFile,
} from '../protocol/import-sidecars.js';
import { findDatasetRoot, readDataset } from './bids-dataset.js';
import { type BidsFiles, readScan } from './bids-scan.js';
import { findSequence, isPulseqPath } from './find-sequence.js';

/** Folders of a dataset or download that hold no scans of the protocol. */
const IGNORED = new Set(['derivatives', 'sourcedata', 'code', 'stimuli', 'phenotype', 'logs']);

/** Deepest folders searched for sidecars outside a dataset. */
const MAX_DEPTH = 8;

/** Most sidecars read outside a dataset. */
const MAX_SIDECARS = 5000;

/** What a folder or file that is no sidecar is told. */
const NOT_A_SIDECAR =
  'is no BIDS sidecar: give .json files, or the folder of a BIDS dataset or of a DICOM converter';

/**
 * Imports the scans that files and folders describe.
 *
 * @param given - Paths of BIDS datasets, folders with sidecars, sidecars, or Pulseq files.
 * @param studyFolder - Where the study file will be: paths in it count from there.
 * @returns What was found; what could not be read is listed as skipped, and the rest goes on.
 */
export async function importPaths(
  given: readonly string[],
  studyFolder = '.',
): Promise<ImportResult> {
  const found: BidsFiles = { files: [], skipped: [], notes: [] };
  const sequences: SequenceFile[] = [];
  for (const one of given) {
    if (isPulseqPath(one)) {
      sequences.push(await findSequence(one, studyFolder));
      continue;
    }
    const { files, skipped, notes } = await readPath(one);
    found.files.push(...files);
    found.skipped.push(...skipped);
    found.notes.push(...notes);
  }
  const result = importSidecars(found.files);
  const imported = {
    ...result,
    skipped: [...found.skipped, ...result.skipped],
    notes: [...found.notes, ...result.notes],
  };
  return withSequences(imported, sequences);
}

async function readPath(given: string): Promise<BidsFiles> {
  const kind = await stat(given).catch((error: unknown) => error as NodeJS.ErrnoException);
  if (kind instanceof Error) return onlySkipped(given, explainMissing(kind));
  const root = await findDatasetRoot(path.resolve(given), kind.isDirectory());
  const inDataset =
    root === undefined ? undefined : await readDataset(root, path.resolve(given), given);
  if (inDataset !== undefined) return inDataset;
  if (kind.isDirectory()) return readLooseFolder(given);
  return /\.(json|nii|nii\.gz)$/i.test(given)
    ? readLooseFiles([given])
    : onlySkipped(given, NOT_A_SIDECAR);
}

/** Every sidecar in a folder that is no dataset, as DICOM converters write them. */
async function readLooseFolder(folder: string): Promise<BidsFiles> {
  const sidecars: string[] = [];
  await collect(folder, 0, sidecars);
  if (sidecars.length === 0) {
    return onlySkipped(
      folder,
      'holds neither sidecars (.json) nor folders of participants (sub-...): give the folder of a BIDS dataset, or the sidecars',
    );
  }
  return readLooseFiles(sidecars);
}

async function collect(folder: string, depth: number, sidecars: string[]): Promise<void> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((): Dirent[] => []);
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    if (entry.name.startsWith('.') || sidecars.length >= MAX_SIDECARS) continue;
    const full = path.join(folder, entry.name);
    if (entry.isDirectory()) {
      if (depth < MAX_DEPTH && !IGNORED.has(entry.name)) await collect(full, depth + 1, sidecars);
    } else if (/\.json$/i.test(entry.name)) sidecars.push(full);
  }
}

async function readLooseFiles(files: readonly string[]): Promise<BidsFiles> {
  const found: BidsFiles = { files: [], skipped: [], notes: [] };
  for (const file of files) {
    const stem = file.replace(/\.(json|nii|nii\.gz)$/i, '');
    found.files.push(await readScan({ shown: stem, sidecars: [`${stem}.json`], stem }));
  }
  return found;
}

function onlySkipped(file: string, why: string): BidsFiles {
  const skipped: SkippedFile[] = [{ file, why }];
  return { files: [], skipped, notes: [] };
}

function explainMissing({ code }: NodeJS.ErrnoException): string {
  return code === 'EACCES' || code === 'EPERM'
    ? 'may not be read: change its permissions, or copy it'
    : 'no such file or folder: check the path';
}
