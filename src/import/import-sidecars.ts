/**
 * BIDS sidecars -> the scans of a protocol: recognised, folded, named, each field with its origin.
 *
 * Nothing that could identify a person, a place or a device goes further than this file: names are made
 * from BIDS entities and scan types, reasons from field names and numbers.
 *
 * @module
 */
import { isOtherMetadata, parseBidsName } from './bids-name.js';
import type { FieldName } from '../protocol/fields.js';
import { type FoldedScan, foldScans, type ScanFile } from './fold-scans.js';
import { nameScans, orderScans } from './name-scans.js';
import { recognise } from './recognise.js';
import type { EntryType, ScanFields, ScanType } from '../protocol/scan.js';
import { type ImportedScanner, importScanner } from './scanner-of-sidecars.js';
import { readFields } from './sidecar-fields.js';
import type { ImageSize } from './sidecar-geometry.js';
import { Sidecar } from './sidecar.js';

/** One file to import: its sidecar as parsed, inherited values included, or why it could not be. */
export type SidecarFile = {
  /** With `/`; relative to the dataset where there is one. */
  readonly path: string;
  /** What the user is shown in place of the path. */
  readonly shown?: string;
} & (
  | {
      readonly json: unknown;
      /** Element of each value, when they are from a DICOM header. */
      readonly places?: Readonly<Record<string, string>> | undefined;
      readonly image?: ImageSize | undefined;
      /** Of every volume, in s/mm2. */
      readonly bValues?: readonly number[] | undefined;
    }
  | { readonly error: string }
);

export interface ImportedScan {
  readonly name: string;
  readonly type: EntryType;
  /** For type `pulseq`: path of its file, from the folder of the study file. */
  readonly file?: string;
  readonly fields: ScanFields;
  /** Fields that its sound needs and that were not found: they will be assumed. */
  readonly missing: readonly FieldName[];
  readonly notes: readonly string[];
  readonly files: readonly string[];
}

export interface SkippedFile {
  readonly file: string;
  readonly why: string;
}

export interface ImportResult {
  readonly scanner: ImportedScanner;
  readonly scans: readonly ImportedScan[];
  readonly skipped: readonly SkippedFile[];
  /** What concerns the import as a whole. */
  readonly notes: readonly string[];
}

/** Fields that shape each type's sound most. */
const WANTED: Readonly<Record<ScanType, readonly FieldName[]>> = {
  localiser: ['RepetitionTime', 'Duration'],
  'gradient-echo-2d': gradientEchoFields(),
  'gradient-echo-3d': gradientEchoFields(),
  'balanced-steady-state': gradientEchoFields(),
  spiral: ['RepetitionTime', 'NumberShots', 'NumberOfSlices', 'AcquisitionVoxelSize', 'Duration'],
  'radial-gradient-echo': [
    'RepetitionTime',
    'EchoTimes',
    'NumberShots',
    'NumberOfSlices',
    'Duration',
  ],
  'zero-echo-time': ['RepetitionTime', 'NumberShots', 'AcquisitionVoxelSize', 'Duration'],
  'inversion-gradient-echo-3d': [
    'RepetitionTime',
    'RepetitionTimeExcitation',
    'InversionTime',
    'EchoTime',
    'NumberOfSlices',
    'AcquisitionVoxelSize',
    'Duration',
  ],
  'turbo-spin-echo-3d': [
    'RepetitionTime',
    'EchoTime',
    'EchoSpacing',
    'EchoTrainLength',
    'AcquisitionVoxelSize',
    'Duration',
  ],
  'echo-planar': echoPlanarFields(),
  'diffusion-echo-planar': [...echoPlanarFields(), 'DiffusionBValues', 'NumberOfDirections'],
  'field-map-gradient-echo': [
    'RepetitionTime',
    'EchoTime1',
    'EchoTime2',
    'NumberOfSlices',
    'AcquisitionVoxelSize',
  ],
  'field-map-echo-planar': echoPlanarFields(),
  'turbo-spin-echo-2d': [
    'RepetitionTime',
    'EchoTime',
    'EchoSpacing',
    'EchoTrainLength',
    'NumberOfSlices',
    'AcquisitionVoxelSize',
    'Duration',
  ],
  'spin-echo-2d': [
    'RepetitionTime',
    'EchoTime',
    'NumberOfSlices',
    'AcquisitionVoxelSize',
    'Duration',
  ],
  'spin-echo-echo-planar': echoPlanarFields(),
  'arterial-spin-labelling': [
    ...echoPlanarFields(),
    'ArterialSpinLabelingType',
    'LabelingDuration',
    'PostLabelingDelay',
  ],
  spectroscopy: ['RepetitionTime', 'EchoTime', 'NumberOfTransients'],
  'pre-scan': ['Duration'],
  'table-motion': ['Duration'],
  pause: ['Duration'],
};

function gradientEchoFields(): readonly FieldName[] {
  return [
    'RepetitionTime',
    'EchoTime',
    'NumberOfSlices',
    'PixelBandwidth',
    'AcquisitionVoxelSize',
    'AcquisitionMatrixPE',
    'Duration',
  ];
}

function echoPlanarFields(): readonly FieldName[] {
  return [
    'RepetitionTime',
    'EchoTime',
    'EchoSpacing',
    'NumberOfSlices',
    'NumberOfVolumes',
    'AcquisitionVoxelSize',
    'AcquisitionMatrixPE',
  ];
}

/** Imports sidecars. Never throws: what cannot be understood is listed as skipped, with the reason. */
export function importSidecars(files: readonly SidecarFile[]): ImportResult {
  const skipped: SkippedFile[] = [];
  const recognised: ScanFile[] = [];
  for (const file of files) {
    const result = recogniseFile(file);
    if ('why' in result) skipped.push({ file: file.shown ?? file.path, why: result.why });
    else recognised.push(result);
  }
  const { scans, orphans } = foldScans(recognised);
  for (const { shown } of orphans) {
    skipped.push({
      file: shown,
      why: 'a single-band reference without the scan that it belongs to',
    });
  }
  const ordered = orderScans(scans);
  const names = nameScans(ordered.scans);
  return {
    scanner: importScanner(ordered.scans.map(({ main }) => main.sidecar)),
    scans: ordered.scans.map((scan, i) => importScan(scan, names[i]!)),
    skipped,
    notes: ordered.notes,
  };
}

function recogniseFile(file: SidecarFile): ScanFile | { readonly why: string } {
  if ('error' in file) return { why: file.error };
  const { path, shown = path, json, places, image, bValues } = file;
  if (isOtherMetadata(path)) return { why: 'describes something other than an MRI scan' };
  if (typeof json !== 'object' || json === null)
    return { why: 'is not a mapping, as a sidecar is' };
  if (Array.isArray(json)) return { why: 'is a list, not a mapping, as a sidecar is' };
  const sidecar = new Sidecar(json as Record<string, unknown>, places);
  const name = parseBidsName(path);
  const recognition = recognise(name, sidecar);
  if ('skip' in recognition) return { why: recognition.skip };
  return { shown, name, sidecar, image, bValues, ...recognition };
}

function importScan({ main, files }: FoldedScan, name: string): ImportedScan {
  const timesOf = (key: string): readonly number[] =>
    [...new Set(files.flatMap(({ sidecar }) => sidecar.numbers(key) ?? []))]
      .filter(time => time > 0)
      .sort((a, b) => a - b);
  const echoTimesSeconds = timesOf('EchoTime');
  const { fields, notes } = readFields(main.type, {
    sidecar: main.sidecar,
    echoTimesSeconds,
    inversionTimesSeconds: timesOf('InversionTime'),
    twoTrains: main.twoTrains === true,
    image: main.image ?? files.find(({ image }) => image !== undefined)?.image,
    bValues: main.bValues,
  });
  const missing = WANTED[main.type].filter(field => fields[field] === undefined);
  const echoesLeftOut =
    echoTimesSeconds.length > 1 &&
    main.type !== 'field-map-gradient-echo' &&
    fields.EchoTimes === undefined;
  return {
    name,
    type: main.type,
    fields,
    missing,
    notes: [
      ...(main.note === undefined ? [] : [main.note]),
      ...(echoesLeftOut
        ? [`It has ${echoTimesSeconds.length} echo times; the first is sounded.`]
        : []),
      ...notes,
    ],
    files: [...new Set(files.map(({ shown }) => shown))],
  };
}
