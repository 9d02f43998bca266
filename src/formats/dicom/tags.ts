/**
 * The elements that are read from DICOM files: what shapes a scan's sound, and what is needed to tell
 * scans apart. Everything else stays in the file, above all what says who was scanned, where and when.
 *
 * Sources: PS3.6 (public elements); for private ones the makers' conformance statements and what
 * open files with known protocols hold (`tests/io/read-dicom.test.ts` reads such files).
 *
 * @module
 */

/** How a value is stored; files without value representations are read by this. */
export type ValueRepresentation =
  | 'CS' | 'LO' | 'SH' | 'ST' | 'UI' | 'DA' | 'TM' | 'DT' | 'DS' | 'IS'
  | 'US' | 'SS' | 'UL' | 'SL' | 'FL' | 'FD' | 'OB'; // prettier-ignore

export interface TagRow {
  /** `gggg,eeee`; in private elements `xx` stands for the block, which differs from file to file. */
  readonly at: string;
  readonly vr: ValueRepresentation;
  /** Who reserved the block of a private element. */
  readonly creator?: string;
}

const SIEMENS = 'SIEMENS MR HEADER';
const SIEMENS_SERIES = 'SIEMENS MR SDS 01';
const SIEMENS_IMAGE = 'SIEMENS MR SDI 02';
const GE_ACQUISITION = 'GEMS_ACQU_01';
const GE_PARAMETERS = 'GEMS_PARM_01';
const PHILIPS = 'Philips Imaging DD 001';
const UIH = 'Image Private Header';

const row = (at: string, vr: ValueRepresentation, creator?: string): TagRow =>
  creator === undefined ? { at, vr } : { at, vr, creator };

/** Names as in PS3.6 where it has the element. */
export const TAGS = {
  MediaStorageSOPClassUID: row('0002,0002', 'UI'),
  ImageType: row('0008,0008', 'CS'),
  SOPClassUID: row('0008,0016', 'UI'),
  Modality: row('0008,0060', 'CS'),
  Manufacturer: row('0008,0070', 'LO'),
  ManufacturerModelName: row('0008,1090', 'LO'),
  FrameType: row('0008,9007', 'CS'),
  ScanningSequence: row('0018,0020', 'CS'),
  SequenceVariant: row('0018,0021', 'CS'),
  ScanOptions: row('0018,0022', 'CS'),
  MRAcquisitionType: row('0018,0023', 'CS'),
  SequenceName: row('0018,0024', 'SH'),
  SliceThickness: row('0018,0050', 'DS'),
  RepetitionTime: row('0018,0080', 'DS'),
  EchoTime: row('0018,0081', 'DS'),
  InversionTime: row('0018,0082', 'DS'),
  ImagingFrequency: row('0018,0084', 'DS'),
  MagneticFieldStrength: row('0018,0087', 'DS'),
  SpacingBetweenSlices: row('0018,0088', 'DS'),
  EchoTrainLength: row('0018,0091', 'IS'),
  PixelBandwidth: row('0018,0095', 'DS'),
  TriggerTime: row('0018,1060', 'DS'),
  AcquisitionMatrix: row('0018,1310', 'US'),
  InPlanePhaseEncodingDirection: row('0018,1312', 'CS'),
  PulseSequenceName: row('0018,9005', 'SH'),
  EchoPulseSequence: row('0018,9008', 'CS'),
  InversionRecovery: row('0018,9009', 'CS'),
  EchoPlanarPulseSequence: row('0018,9018', 'CS'),
  SpectrallySelectedSuppression: row('0018,9025', 'CS'),
  GeometryOfKSpaceTraversal: row('0018,9032', 'CS'),
  MRAcquisitionFrequencyEncodingSteps: row('0018,9058', 'US'),
  ParallelReductionFactorInPlane: row('0018,9069', 'FD'),
  AcquisitionDuration: row('0018,9073', 'FD'),
  ParallelAcquisitionTechnique: row('0018,9078', 'CS'),
  InversionTimes: row('0018,9079', 'FD'),
  EffectiveEchoTime: row('0018,9082', 'FD'),
  DiffusionBValue: row('0018,9087', 'FD'),
  ParallelReductionFactorOutOfPlane: row('0018,9155', 'FD'),
  MRAcquisitionPhaseEncodingStepsInPlane: row('0018,9231', 'US'),
  MRAcquisitionPhaseEncodingStepsOutOfPlane: row('0018,9232', 'US'),
  RFEchoTrainLength: row('0018,9240', 'US'),
  GradientEchoTrainLength: row('0018,9241', 'US'),
  ASLContrast: row('0018,9250', 'CS'),
  ASLPulseTrainDuration: row('0018,9258', 'UL'),
  SeriesNumber: row('0020,0011', 'IS'),
  InstanceNumber: row('0020,0013', 'IS'),
  ImagePositionPatient: row('0020,0032', 'DS'),
  ImageOrientationPatient: row('0020,0037', 'DS'),
  NumberOfTemporalPositions: row('0020,0105', 'IS'),
  InStackPositionNumber: row('0020,9057', 'UL'),
  TemporalPositionIndex: row('0020,9128', 'UL'),
  NumberOfFrames: row('0028,0008', 'IS'),
  Rows: row('0028,0010', 'US'),
  Columns: row('0028,0011', 'US'),
  PixelSpacing: row('0028,0030', 'DS'),

  /** What people called the series: looked at to tell scans apart, never handed on. */
  SeriesDescription: row('0008,103e', 'LO'),
  ProtocolName: row('0018,1030', 'LO'),

  NumberOfImagesInMosaic: row('0019,xx0a', 'US', SIEMENS),
  SiemensBValue: row('0019,xx0c', 'IS', SIEMENS),
  BandwidthPerPixelPhaseEncode: row('0019,xx28', 'FD', SIEMENS),
  MosaicRefAcqTimes: row('0019,xx29', 'FD', SIEMENS),
  PATModeText: row('0051,xx11', 'LO', SIEMENS),
  BandwidthPerPixelPhaseEncodeXA: row('0021,xx53', 'FD', SIEMENS_IMAGE),
  ImageTypeText: row('0021,xx75', 'CS', SIEMENS_IMAGE),
  SiemensScanningSequence: row('0021,xx5a', 'CS', SIEMENS_SERIES),
  SiemensScanOptions: row('0021,xx5c', 'CS', SIEMENS_SERIES),

  GEAcquisitionDuration: row('0019,xx5a', 'FL', GE_ACQUISITION),
  GEPulseSequenceName: row('0019,xx9c', 'LO', GE_ACQUISITION),
  GEInternalPulseSequenceName: row('0019,xx9e', 'LO', GE_ACQUISITION),
  GELocationsInAcquisition: row('0021,xx4f', 'SS', 'GEMS_RELA_01'),
  GENumberOfShots: row('0043,xx06', 'SS', GE_PARAMETERS),
  GEEffectiveEchoSpacing: row('0043,xx2c', 'SS', GE_PARAMETERS),
  GEImageType: row('0043,xx2f', 'SS', GE_PARAMETERS),
  GEDiffusion: row('0043,xx39', 'IS', GE_PARAMETERS),
  GEAssetRFactors: row('0043,xx83', 'DS', GE_PARAMETERS),
  GEMultiband: row('0043,xxb6', 'LO', GE_PARAMETERS),

  PhilipsBFactor: row('2001,xx03', 'FL', PHILIPS),
  PhilipsEPIFactor: row('2001,xx13', 'SL', PHILIPS),
  PhilipsNumberOfSlices: row('2001,xx18', 'SL', PHILIPS),
  PhilipsPrepulseDelay: row('2001,xx1b', 'FL', PHILIPS),
  PhilipsPrepulseType: row('2001,xx1c', 'CS', PHILIPS),
  PhilipsTechnique: row('2001,xx20', 'LO', PHILIPS),
  PhilipsWaterFatShift: row('2001,xx22', 'FL', PHILIPS),
  PhilipsNumberOfDynamicScans: row('2001,xx81', 'IS', PHILIPS),

  UIHBValue: row('0065,xx09', 'FD', UIH),
  UIHParallelInformation: row('0065,xx0d', 'SH', UIH),
  UIHPulseSequenceName: row('0065,xx2d', 'ST', UIH),
  UIHNumberOfSlices: row('0065,xx50', 'DS', UIH),
} as const satisfies Readonly<Record<string, TagRow>>;

export type TagName = keyof typeof TAGS;

/**
 * Elements of which only something else leaves this folder: a code that tells series and images apart,
 * a time of day, one number out of a text, settings out of a block.
 */
export const CONDENSED = {
  SOPInstanceUID: row('0008,0018', 'UI'),
  AcquisitionTime: row('0008,0032', 'TM'),
  SeriesInstanceUID: row('0020,000e', 'UI'),
  ImageComments: row('0020,4000', 'ST'),
  FrameAcquisitionDateTime: row('0018,9074', 'DT'),
  CSAImageHeader: row('0029,xx10', 'OB', 'SIEMENS CSA HEADER'),
  CSASeriesHeader: row('0029,xx20', 'OB', 'SIEMENS CSA HEADER'),
  ProtocolText: row('0021,xx19', 'OB', SIEMENS_SERIES),
} as const satisfies Readonly<Record<string, TagRow>>;

export type CondensedName = keyof typeof CONDENSED;

/** Sequences whose items are read as if their elements stood where the sequence stands. */
const NESTED: readonly TagRow[] = [
  row('5200,9229', 'OB'), // shared functional groups
  row('0018,9006', 'OB'), // imaging modifier
  row('0018,9112', 'OB'), // timing and related parameters
  row('0018,9114', 'OB'), // echo
  row('0018,9115', 'OB'), // modifier
  row('0018,9117', 'OB'), // diffusion
  row('0018,9125', 'OB'), // field of view and geometry
  row('0018,9226', 'OB'), // frame type
  row('0018,9251', 'OB'), // arterial spin labelling
  row('0020,9111', 'OB'), // frame content
  row('0020,9113', 'OB'), // plane position
  row('0020,9116', 'OB'), // plane orientation
  row('0028,9110', 'OB'), // pixel measures
  row('0021,xxfe', 'OB', SIEMENS_SERIES),
  row('0021,xxfe', 'OB', SIEMENS_IMAGE),
  row('2005,xx0f', 'OB', 'Philips MR Imaging DD 005'), // the enhanced attributes of a classic file
];

/** Sequences with an item for each image of a file. */
const FRAMES: readonly TagRow[] = [row('5200,9230', 'OB'), row('0065,xx51', 'OB', UIH)];

/** After this element no file has anything that is read here; pixels follow. */
export const LAST_TAG = 'x52009230';

/** What an element is to the reader. */
export type TagRole =
  | { readonly role: 'value'; readonly name: TagName; readonly row: TagRow }
  | { readonly role: 'condensed'; readonly name: CondensedName; readonly row: TagRow }
  | {
      readonly role: 'nested';
      /** Whether it says the same in every frame of a file. */
      readonly isOfFile: boolean;
    }
  | { readonly role: 'frames' };

const ROLES: ReadonlyMap<string, TagRole> = new Map<string, TagRole>([
  ...Object.entries(TAGS).map(
    ([name, row]) => [keyOf(row), { role: 'value', name: name as TagName, row }] as const,
  ),
  ...Object.entries(CONDENSED).map(
    ([name, row]) => [keyOf(row), { role: 'condensed', name: name as CondensedName, row }] as const,
  ),
  ...NESTED.map(
    row => [keyOf(row), { role: 'nested', isOfFile: row.creator !== undefined }] as const,
  ),
  ...FRAMES.map(row => [keyOf(row), { role: 'frames' }] as const),
]);

/**
 * What the element is read for; undefined when it is not on the list.
 *
 * @param tag - As `xggggeeee`, in lower case.
 * @param creator - Who reserved the block, for a private element.
 */
export function roleOf(tag: string, creator: string | undefined): TagRole | undefined {
  if (!isPrivate(tag)) return ROLES.get(tag);
  if (creator === undefined) return undefined;
  return ROLES.get(privateKey(tag.slice(0, 5), tag.slice(7), creator));
}

/** Whether the group of an element is odd, and so its meaning the maker's. */
export const isPrivate = (tag: string): boolean => parseInt(tag[4]!, 16) % 2 === 1;

function keyOf({ at, creator }: TagRow): string {
  const [group, element] = at.split(',') as [string, string];
  return creator === undefined
    ? `x${group}${element}`
    : privateKey(`x${group}`, element.slice(2), creator);
}

function privateKey(group: string, element: string, creator: string): string {
  return `${group} ${element} ${creator.trim().toUpperCase()}`;
}
