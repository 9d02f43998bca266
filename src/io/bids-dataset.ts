/**
 * A BIDS dataset: which participant to read, and which files apply to each scan.
 *
 * @module
 */
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { parseBidsName } from '../import/bids-name.js';
import { applicableFiles } from '../import/inherit-sidecars.js';
import { type BidsFiles, readScan } from './bids-scan.js';

/** How far above a given path the root of its dataset is looked for. */
const MAX_LEVELS = 6;

/** A participant's session, or a participant without sessions. */
interface Visit {
  /** Folder relative to the dataset, with `/`: `sub-01/ses-1`. */
  readonly folder: string;
  /** Scans relative to the dataset, without extension. */
  readonly stems: readonly string[];
}

/** The root of the dataset that a path lies in; undefined when it lies in none. */
export async function findDatasetRoot(
  given: string,
  isFolder: boolean,
): Promise<string | undefined> {
  let folder = isFolder ? given : path.dirname(given);
  for (let level = 0; level <= MAX_LEVELS; level++) {
    const names = await namesIn(folder);
    if (
      names.includes('dataset_description.json') ||
      (isFolder && level === 0 && hasVisits(names))
    ) {
      return folder;
    }
    const above = path.dirname(folder);
    if (above === folder) return undefined;
    folder = above;
  }
  return undefined;
}

/**
 * Reads the scans of one visit: the most complete one of the dataset, or of the part that was given.
 *
 * @param root - The dataset, absolute.
 * @param given - The given path, absolute: the root, a folder inside, or one scan.
 * @param shown - The given path as the user wrote it.
 * @returns Undefined when no scan of a participant lies there.
 */
export async function readDataset(
  root: string,
  given: string,
  shown: string,
): Promise<BidsFiles | undefined> {
  const inside = path.relative(root, given).split(path.sep).join('/');
  const visits = await listVisits(root);
  const parts = visits
    .map(({ folder, stems }) => ({ folder, stems: stems.filter(stem => isWithin(stem, inside)) }))
    .filter(({ stems }) => stems.length > 0);
  if (parts.length === 0) return undefined;
  const best = parts.reduce((one, other) => (countScans(other) > countScans(one) ? other : one));
  const metadata = await listMetadata(root, best.folder);
  const shownRoot = path.join(shown, path.relative(given, root));
  const files = [];
  for (const stem of best.stems) {
    const sidecars = applicableFiles(
      stem,
      metadata.filter(name => name.endsWith('.json')),
    );
    const bValues = applicableFiles(
      stem,
      metadata.filter(name => name.endsWith('.bval')),
    ).at(-1);
    files.push(
      await readScan({
        shown: path.join(shownRoot, stem),
        sidecars: sidecars.map(name => path.join(root, name)),
        stem: path.join(root, stem),
        bValues: bValues === undefined ? undefined : path.join(root, bValues),
      }),
    );
  }
  return { files, skipped: [], notes: noteOnChoice(best, parts) };
}

function noteOnChoice(best: Visit, visits: readonly Visit[]): string[] {
  if (visits.length < 2) return [];
  const count = countScans(best);
  return [
    `The dataset holds ${visits.length} visits of participants. The scans are those of one, the first with the most complete set (${count} ${count === 1 ? 'scan' : 'scans'}), as a protocol is the same for all.`,
  ];
}

/** Visits in the order of their names. */
async function listVisits(root: string): Promise<readonly Visit[]> {
  const visits: Visit[] = [];
  for (const participant of (await namesIn(root)).filter(isParticipant)) {
    const sessions = (await namesIn(path.join(root, participant))).filter(isSession);
    for (const folder of [participant, ...sessions.map(session => `${participant}/${session}`)]) {
      const stems = await listStems(root, folder);
      if (stems.length > 0) visits.push({ folder, stems });
    }
  }
  return visits;
}

/** Scans in the datatype folders of a visit: what has a sidecar or an image with a suffix of MRI. */
async function listStems(root: string, folder: string): Promise<readonly string[]> {
  const stems = new Set<string>();
  for (const datatype of await namesIn(path.join(root, folder))) {
    for (const name of await namesIn(path.join(root, folder, datatype))) {
      if (!/\.(json|nii|nii\.gz)$/.test(name)) continue;
      const parsed = parseBidsName(`${folder}/${datatype}/${name}`);
      if (parsed.datatype !== undefined && parsed.suffix !== undefined) stems.add(parsed.stem);
    }
  }
  return [...stems].sort(byName);
}

/** Sidecars and b-values in the folders that apply to a visit, relative to the dataset. */
async function listMetadata(root: string, visit: string): Promise<readonly string[]> {
  const parts = visit.split('/');
  const folders = ['', ...parts.map((_, i) => parts.slice(0, i + 1).join('/'))];
  for (const datatype of await namesIn(path.join(root, visit)))
    folders.push(`${visit}/${datatype}`);
  const found: string[] = [];
  for (const folder of folders) {
    for (const name of await namesIn(path.join(root, folder))) {
      if (/\.(json|bval)$/.test(name)) found.push(folder === '' ? name : `${folder}/${name}`);
    }
  }
  return found;
}

/** How many different scans a visit has, by their names. */
function countScans({ stems }: Visit): number {
  const keys = stems.map(stem => {
    const { entities, suffix, datatype } = parseBidsName(stem);
    return [datatype, suffix, entities['task'], entities['acq'], entities['dir']].join(' ');
  });
  return new Set(keys).size;
}

/** Names in a folder, sorted; none when it is no folder or may not be read. Hidden ones are left out. */
async function namesIn(folder: string): Promise<readonly string[]> {
  const isFolder = await stat(folder).then(
    found => found.isDirectory(),
    () => false,
  );
  if (!isFolder) return [];
  const names = await readdir(folder).catch((): string[] => []);
  return names.filter(name => !name.startsWith('.')).sort(byName);
}

const isParticipant = (name: string): boolean => /^sub-[A-Za-z0-9+]+$/.test(name);

const isSession = (name: string): boolean => /^ses-[A-Za-z0-9+]+$/.test(name);

const hasVisits = (names: readonly string[]): boolean => names.some(isParticipant);

/** Whether a scan is the given file or lies in the given folder; everything lies in the root. */
function isWithin(stem: string, inside: string): boolean {
  if (inside === '') return true;
  return stem === parseBidsName(inside).stem || stem.startsWith(`${inside}/`);
}

/** Code-unit order: the same on every machine. */
const byName = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
