/**
 * What a study's protocol can be imported from, on the disk: BIDS datasets and sidecars, DICOM files,
 * Pulseq files. Names of folders and files do not count for much; what is in a file says what it is.
 *
 * @module
 */
import { type Dirent } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { type SequenceFile, withSequences } from '../import/import-pulseq.js';
import { importSidecars, type ImportResult, type SkippedFile } from '../import/import-sidecars.js';
import { findDatasetRoot, readDataset } from './bids-dataset.js';
import { type BidsFiles, readScan } from './bids-scan.js';
import { DicomFiles } from './dicom-files.js';
import { findSequence, isPulseqPath } from './find-sequence.js';

/** Folders of a dataset or download that hold no scans of the protocol. */
const IGNORED = new Set(['derivatives', 'sourcedata', 'code', 'stimuli', 'phenotype', 'logs']);

/** Deepest folders searched outside a dataset. */
const MAX_DEPTH = 12;

/** Most sidecars, and most other files, read in a folder. */
const MAX_SIDECARS = 5000;
const MAX_OTHERS = 200_000;

/** What a file that is none of the kinds is told. */
const OF_NO_KIND =
  'is neither a BIDS sidecar (.json) nor a DICOM or Pulseq file: give such files, or the folder they are in';

const NOTHING_IN_FOLDER =
  'holds neither sidecars (.json) nor DICOM or Pulseq files, nor folders of participants (sub-...): give a folder that does';

/** What was found so far. */
interface Finds {
  readonly bids: BidsFiles;
  readonly dicom: DicomFiles;
  readonly sequences: SequenceFile[];
  /** Where the study file will be. */
  readonly studyFolder: string;
}

/**
 * Imports the scans that files and folders describe.
 *
 * @param given - Paths of BIDS datasets, folders, sidecars, DICOM files or Pulseq files.
 * @param studyFolder - Where the study file will be: paths in it count from there.
 * @returns What was found; what could not be read is listed as skipped, and the rest goes on.
 */
export async function importPaths(
  given: readonly string[],
  studyFolder = '.',
): Promise<ImportResult> {
  const bids: BidsFiles = { files: [], skipped: [], notes: [] };
  const finds: Finds = { bids, dicom: new DicomFiles(), sequences: [], studyFolder };
  for (const one of given) {
    if (isPulseqPath(one)) await readSequences([one], finds);
    else await readPath(one, finds);
  }
  const dicom = finds.dicom.result();
  const result = importSidecars([...bids.files, ...dicom.files]);
  const imported = {
    ...result,
    skipped: [...bids.skipped, ...dicom.skipped, ...result.skipped],
    notes: [...bids.notes, ...dicom.notes, ...result.notes],
  };
  return withSequences(imported, finds.sequences);
}

async function readPath(given: string, finds: Finds): Promise<void> {
  const kind = await stat(given).catch((error: unknown) => error as NodeJS.ErrnoException);
  if (kind instanceof Error) {
    skip(finds, given, explainMissing(kind));
    return;
  }
  const root = await findDatasetRoot(path.resolve(given), kind.isDirectory());
  const inDataset =
    root === undefined ? undefined : await readDataset(root, path.resolve(given), given);
  if (inDataset !== undefined) {
    finds.bids.files.push(...inDataset.files);
    finds.bids.skipped.push(...inDataset.skipped);
    finds.bids.notes.push(...inDataset.notes);
  } else if (kind.isDirectory()) await readFolder(given, finds);
  else if (isSidecarOrImage(given)) await readSidecars([given], finds);
  else if (kind.isFile()) await readFile(given, finds);
  else skip(finds, given, OF_NO_KIND);
}

async function readFile(given: string, finds: Finds): Promise<void> {
  const { sequences, others } = await finds.dicom.addFile(given);
  if (others.length > 0) skip(finds, given, OF_NO_KIND);
  await readSequences(sequences, finds);
}

/** Everything in a folder that is no dataset: what DICOM converters write, what scanners send. */
async function readFolder(given: string, finds: Finds): Promise<void> {
  const sidecars: string[] = [];
  const others: string[] = [];
  await collect(given, 0, sidecars, others);
  const { found, sequences } = await finds.dicom.addFolder(given, others);
  await readSidecars(sidecars, finds);
  await readSequences(sequences, finds);
  if (sidecars.length + found + sequences.length === 0) skip(finds, given, NOTHING_IN_FOLDER);
  if (sidecars.length > 0 && found > 0) {
    finds.bids.notes.push(
      'Both sidecars and DICOM files were found: a scan that both describe is listed twice; take one out.',
    );
  }
  if (others.length >= MAX_OTHERS) {
    finds.bids.notes.push(`Only the first ${MAX_OTHERS} files of a folder were looked at.`);
  }
}

async function collect(
  folder: string,
  depth: number,
  sidecars: string[],
  others: string[],
): Promise<void> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((): Dirent[] => []);
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    if (entry.name.startsWith('.')) continue;
    const full = path.join(folder, entry.name);
    if (entry.isDirectory()) {
      if (depth < MAX_DEPTH && !IGNORED.has(entry.name)) {
        await collect(full, depth + 1, sidecars, others);
      }
    } else if (/\.json$/i.test(entry.name)) {
      if (sidecars.length < MAX_SIDECARS) sidecars.push(full);
    } else if (isSidecarOrImage(entry.name) || others.length >= MAX_OTHERS) continue;
    else if (entry.isFile() || entry.isSymbolicLink()) others.push(full);
  }
}

async function readSidecars(files: readonly string[], { bids }: Finds): Promise<void> {
  for (const file of files) {
    const stem = file.replace(/\.(json|nii|nii\.gz)$/i, '');
    bids.files.push(await readScan({ shown: stem, sidecars: [`${stem}.json`], stem }));
  }
}

async function readSequences(files: readonly string[], finds: Finds): Promise<void> {
  for (const file of files) finds.sequences.push(await findSequence(file, finds.studyFolder));
}

/** Whether it is a sidecar or the image beside it, by the end of its name. */
const isSidecarOrImage = (file: string): boolean => /\.(json|nii|nii\.gz)$/i.test(file);

function skip({ bids }: Finds, file: string, why: string): void {
  const skipped: SkippedFile = { file, why };
  bids.skipped.push(skipped);
}

function explainMissing({ code }: NodeJS.ErrnoException): string {
  return code === 'EACCES' || code === 'EPERM'
    ? 'may not be read: change its permissions, or copy it'
    : 'no such file or folder: check the path';
}
