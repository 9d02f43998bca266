/**
 * What a BIDS file name says (bids-specification, "Filesystem structure": entities, suffix, datatype).
 *
 * @module
 */

export interface BidsName {
  /** Path with `/`, without the extension. */
  readonly stem: string;
  /** Folder of the file, with `/`; empty at the root. */
  readonly folder: string;
  /** `task`, `acq`, `run` ... with their labels. */
  readonly entities: Readonly<Record<string, string>>;
  /** Suffix of an MRI scan, `bold` or `T1w`; undefined when the name does not end in one. */
  readonly suffix: string | undefined;
  /** `anat`, `func` ..., when the file lies in such a folder. */
  readonly datatype: string | undefined;
}

/** Folders of MRI data. */
const DATATYPES = ['anat', 'func', 'dwi', 'fmap', 'perf', 'mrs'] as const;

/** Suffixes of MRI data, as the specification lists them, and `swi`, which people use though it does not. */
const SCAN_SUFFIXES = new Set(
  `T1w T2w PDw T2starw FLAIR PDT2 PDT2w inplaneT1 inplaneT2 angio T2star FLASH PD swi
  VFA IRT1 MP2RAGE UNIT1 MESE MEGRE MPM MTS MTR MTw TB1TFL TB1RFM TB1AFI TB1DAM TB1EPI TB1SRGE RB1COR
  T1map T2map T2starmap R1map R2map R2starmap PDmap MTRmap MTsat TB1map RB1map S0map M0map Chimap PDT2map
  bold cbv sbref phase noRF dwi ADC FA colFA expADC trace S0map
  asl m0scan epi phasediff phase1 phase2 magnitude magnitude1 magnitude2 fieldmap
  svs mrsi unloc mrsref`.split(/\s+/),
);

/** Suffixes of sidecars that describe something other than an MRI scan. */
const OTHER_SUFFIXES = new Set(
  `events physio stim beh channels electrodes coordsystem optodes scans sessions participants samples
  aslcontext asllabeling eeg ieeg meg nirs motion pet blood markers headshape photo eyetrack description
  dataset_description dseg probseg mask timeseries regressors xfm TEM SEM BF`.split(/\s+/),
);

/** Takes a path apart; it may have any extension, `.nii.gz` included. */
export function parseBidsName(path: string): BidsName {
  const parts = path.replaceAll('\\', '/').split('/');
  const base = parts.pop()!.replace(/\.(nii\.gz|[A-Za-z0-9]+)$/, '');
  const tokens = base.split('_');
  const entities: Record<string, string> = {};
  for (const token of tokens) {
    const match = /^([a-z]+)-([A-Za-z0-9+]+)$/.exec(token);
    if (match !== null) entities[match[1]!] = match[2]!;
  }
  const last = tokens.at(-1)!;
  const folder = parts.join('/');
  return {
    stem: folder === '' ? base : `${folder}/${base}`,
    folder,
    entities,
    suffix: SCAN_SUFFIXES.has(last) ? last : undefined,
    datatype: DATATYPES.find(datatype => parts.at(-1) === datatype),
  };
}

/** Whether the name is that of metadata of something else than an MRI scan. */
export function isOtherMetadata(path: string): boolean {
  const base = parseBidsName(path).stem.split('/').at(-1)!;
  return OTHER_SUFFIXES.has(base) || OTHER_SUFFIXES.has(base.split('_').at(-1)!);
}
