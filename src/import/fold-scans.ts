/**
 * Which files belong to one scan: echoes, runs, magnitude and phase, single-band references and the
 * images of a field map are heard once.
 *
 * @module
 */
import type { BidsName } from './bids-name.js';
import type { ScanType } from '../protocol/scan.js';
import type { Sidecar } from './sidecar.js';
import type { ImageSize } from './sidecar-geometry.js';

/** One recognised file. */
export interface ScanFile {
  /** Its path, as it is shown to the user. */
  readonly shown: string;
  readonly name: BidsName;
  readonly type: ScanType;
  readonly sidecar: Sidecar;
  readonly image?: ImageSize | undefined;
  readonly bValues?: readonly number[] | undefined;
  /** What recognising the file remarked. */
  readonly note?: string | undefined;
  /** Whether it describes one of two readout trains after each inversion. */
  readonly twoTrains?: boolean | undefined;
}

/** The files of one scan. */
export interface FoldedScan {
  /** The file whose values stand for the scan. */
  readonly main: ScanFile;
  /** All of them, the main one included, in the order given. */
  readonly files: readonly ScanFile[];
}

/** Entities that tell repeats, participants and parts apart, not scans. */
const NOT_SCANS = new Set(
  'sub ses run echo part chunk split rec recording space desc res den label hemi flip mt inv'.split(
    ' ',
  ),
);

/** Suffixes of images that are parts of a scan. */
const PARTS = new Set(['phase', 'phase1', 'phase2', 'magnitude2', 'noRF']);

/** Repetition times that differ by more than this fraction are of different scans. */
const SAME_TIMING = 0.005;

/**
 * Folds files into scans, in the order in which each scan first appears.
 *
 * @returns The scans, and files that only accompany a scan which is not there.
 */
export function foldScans(files: readonly ScanFile[]): {
  readonly scans: readonly FoldedScan[];
  readonly orphans: readonly ScanFile[];
} {
  const groups = new Map<string, ScanFile[]>();
  for (const file of files) {
    const key = scanKey(file);
    groups.set(key, [...(groups.get(key) ?? []), file]);
  }
  const scans: FoldedScan[] = [];
  const orphans: ScanFile[] = [];
  for (const group of groups.values()) {
    const whole = group.filter(file => accompanies(file) === 'never');
    const leaders = whole.length > 0 ? whole : group.filter(file => accompanies(file) !== 'always');
    const companions = group.filter(file => !leaders.includes(file));
    if (leaders.length === 0) orphans.push(...companions);
    for (const [i, cluster] of byTiming(leaders).entries()) {
      const belongs = (file: ScanFile): boolean =>
        cluster.includes(file) || (i === 0 && companions.includes(file));
      scans.push({ main: mainOf(cluster), files: group.filter(belongs) });
    }
  }
  return { scans, orphans };
}

/** What the image is of, where a type has several contrasts; part of a scan's name. */
export function contrastOf(file: ScanFile): string {
  const isGradientEcho = file.type === 'gradient-echo-2d' || file.type === 'gradient-echo-3d';
  const isTurbo = file.type === 'turbo-spin-echo-2d' || file.type === 'turbo-spin-echo-3d';
  if (!isTurbo && !isGradientEcho) return '';
  const { suffix } = file.name;
  if (suffix !== undefined) return suffix.toLowerCase().replace(/w$/, '');
  if (isGradientEcho) return /swi/i.test(file.sidecar.text('SequenceName')) ? 'swi' : 'gre';
  const inverted =
    file.sidecar.positive('InversionTime') !== undefined ||
    file.sidecar.words('ScanningSequence').has('IR');
  if (inverted) return 'flair';
  return (file.sidecar.positive('EchoTime') ?? 1) < 0.05 ? 't1-tse' : 't2';
}

/** Everything that makes a scan another scan: its type, contrast, and the entities of its name. */
function scanKey(file: ScanFile): string {
  const { entities, suffix, stem } = file.name;
  const told = Object.entries(entities)
    .filter(([key]) => !NOT_SCANS.has(key))
    .map(([key, label]) => `${key}-${label.replace(/norf/i, '')}`)
    .sort();
  return [file.type, contrastOf(file), ...told, suffix === undefined ? seriesStem(stem) : ''].join(
    ' ',
  );
}

/** A converter's name for a series without what it adds to the parts and repeats of one. */
function seriesStem(stem: string): string {
  return stem
    .split('/')
    .at(-1)!
    .replace(/^\d+_|_\d+[a-z]?$/gi, '')
    .replace(
      /(_(e\d+|ph|sbref|real|imaginary|part-[a-z]+|echo-\d+|run-\d+|inv-?\d|c\d+|i\d+))+$/i,
      '',
    );
}

/**
 * Whether a file is a part of another: always (a single-band reference), only if that other is there (a
 * second echo, a phase image), or never.
 */
function accompanies({ name }: ScanFile): 'always' | 'if there' | 'never' {
  const { suffix, entities, stem } = name;
  if (suffix === 'sbref' || /_sbref(_|$)/i.test(stem)) return 'always';
  const isPart =
    (suffix !== undefined && PARTS.has(suffix)) ||
    Number(entities['echo'] ?? 1) > 1 ||
    ['phase', 'imag', 'real'].includes(entities['part'] ?? '') ||
    /norf/i.test(Object.values(entities).join(' ')) ||
    (suffix === undefined && /_(e[2-9]|ph)(_|$)/i.test(stem));
  return isPart ? 'if there' : 'never';
}

/** Files with one repetition time each, in the order given. */
function byTiming(files: readonly ScanFile[]): readonly (readonly ScanFile[])[] {
  const clusters: { readonly repetitionSeconds: number; readonly files: ScanFile[] }[] = [];
  for (const file of files) {
    const repetitionSeconds = file.sidecar.positive('RepetitionTime') ?? 0;
    const near = clusters.find(
      cluster =>
        Math.abs(cluster.repetitionSeconds - repetitionSeconds) <= SAME_TIMING * repetitionSeconds,
    );
    if (near === undefined) clusters.push({ repetitionSeconds, files: [file] });
    else near.files.push(file);
  }
  return clusters.map(cluster => cluster.files);
}

/** The file that tells most: one with both echo times, with b-values or an image, else the first. */
function mainOf(files: readonly ScanFile[]): ScanFile {
  const value = ({ sidecar, bValues, image }: ScanFile): number =>
    (sidecar.has('EchoTime2') ? 4 : 0) + (bValues === undefined ? 0 : 2) + (image ? 1 : 0);
  return files.reduce((best, file) => (value(file) > value(best) ? file : best));
}
