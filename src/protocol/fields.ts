/**
 * The dictionary of scan fields: one name, one meaning, one unit, everywhere.
 *
 * Names and units are those of the BIDS specification where it has the field (times in seconds);
 * `AcquisitionMatrixPE`, `PixelBandwidth` and `EchoTrainLength` are the names that common DICOM
 * converters write beside them; what neither has is named in the same manner. BIDS has no unit for
 * gradients: mT/m here.
 *
 * @module
 */

/** What kind of value a field holds. */
export type FieldKind = 'number' | 'whole' | 'numbers' | 'boolean' | 'choice';

export interface FieldSpec {
  readonly kind: FieldKind;
  /** Printed unit; empty for counts, ratios and choices. */
  readonly unit: string;
  /** Lowest and highest value that can be meant (for each, in a list). */
  readonly min?: number;
  readonly max?: number;
  /** For `numbers`: how many there may be. */
  readonly count?: readonly [min: number, max: number];
  /** For `numbers`: whether each must be larger than the one before. */
  readonly rising?: boolean;
  /** For `choice`: what may stand there. */
  readonly choices?: readonly string[];
  /** One line for messages and documentation. */
  readonly meaning: string;
}

const seconds = (min: number, max: number, meaning: string): FieldSpec => ({
  kind: 'number',
  unit: 's',
  min,
  max,
  meaning,
});
const whole = (min: number, max: number, meaning: string): FieldSpec => ({
  kind: 'whole',
  unit: '',
  min,
  max,
  meaning,
});
const ratio = (min: number, max: number, meaning: string): FieldSpec => ({
  kind: 'number',
  unit: '',
  min,
  max,
  meaning,
});

/** Every field a scan may carry. */
export const FIELDS = {
  RepetitionTime: seconds(
    0.0005,
    60,
    'time from one volume, inversion or excitation to the next, as the scan type counts it',
  ),
  RepetitionTimeExcitation: seconds(
    0.001,
    1,
    'time between excitations inside an inversion-prepared train',
  ),
  EchoTime: seconds(0.00005, 1.5, 'time from excitation to the (first) echo'),
  EchoTimes: {
    kind: 'numbers',
    unit: 's',
    min: 0.00005,
    max: 1.5,
    count: [1, 32],
    rising: true,
    meaning: 'times from excitation to each of its echoes',
  },
  EchoTime1: seconds(0.0005, 0.2, 'echo time of the first echo of a field map'),
  EchoTime2: seconds(0.0005, 0.2, 'echo time of the second echo of a field map'),
  InversionTime: seconds(
    0.005,
    5,
    'time from inversion to the middle of the readout train, or to the excitation of a spin echo',
  ),
  InversionTime2: seconds(
    0.005,
    10,
    'time from inversion to the middle of a second readout train, of scans that have two',
  ),
  EchoSpacing: seconds(
    0.0002,
    0.1,
    'true time between neighbouring echoes of a train, as the scanner plays it',
  ),
  EffectiveEchoSpacing: seconds(
    0.00002,
    0.02,
    'echo spacing referred to the reconstructed image; true spacing = this x in-plane acceleration',
  ),
  Duration: seconds(0.5, 3600, 'length of the whole scan'),
  NumberOfVolumes: whole(1, 5000, 'volumes acquired one after another'),
  NumberOfSlices: whole(1, 1024, 'slices of a volume (partitions, for a 3D scan)'),
  SliceThickness: { kind: 'number', unit: 'mm', min: 0.2, max: 50, meaning: 'slice thickness' },
  AcquisitionVoxelSize: {
    kind: 'numbers',
    unit: 'mm',
    min: 0.1,
    max: 50,
    count: [3, 3],
    meaning: 'acquired voxel size along read, phase and slice',
  },
  AcquisitionMatrixPE: whole(8, 2048, 'phase-encode lines of a full acquisition'),
  BaseResolution: whole(8, 2048, 'samples along the readout'),
  PixelBandwidth: {
    kind: 'number',
    unit: 'Hz',
    min: 10,
    max: 20000,
    meaning: 'receiver bandwidth per pixel; its inverse is the readout time of one line',
  },
  EchoTrainLength: whole(1, 2000, 'echoes after one excitation'),
  NumberShots: whole(
    1,
    1_000_000,
    'excitations that one image (of one slice, or of a volume) takes: interleaves of a spiral, spokes',
  ),
  MultibandAccelerationFactor: whole(1, 16, 'slices excited at once'),
  ParallelReductionFactorInPlane: ratio(1, 12, 'in-plane acceleration: 2 plays half of the lines'),
  PartialFourier: ratio(0.5, 1, 'fraction of the phase-encode lines that is played'),
  FatSaturation: { kind: 'boolean', unit: '', meaning: 'a fat-saturation pulse with its spoiler' },
  SingleShot: {
    kind: 'boolean',
    unit: '',
    meaning: 'one train gives a whole slice, and a slice is taken every RepetitionTime',
  },
  NumberOfConcatenations: whole(
    1,
    100,
    'groups that the slices of a 2D scan are shared out to, one group after another',
  ),
  NumberOfReferenceVolumes: whole(
    0,
    100,
    'single-band reference volumes before the series: every slice alone',
  ),
  NumberOfCalibrationShots: whole(
    0,
    100,
    'shots of each slice before the series that calibrate in-plane acceleration',
  ),
  DelayTime: seconds(0, 60, 'silence at the end of every RepetitionTime (sparse acquisition)'),
  Navigator: {
    kind: 'boolean',
    unit: '',
    meaning: 'a short navigator burst in every repetition, as prospective motion correction adds',
  },
  SliceOrientation: {
    kind: 'choice',
    unit: '',
    choices: ['axial', 'sagittal', 'coronal'],
    meaning: 'plane of the slices (of the partitions, for a 3D scan)',
  },
  ImageOrientationPatientDICOM: {
    kind: 'numbers',
    unit: '',
    min: -1,
    max: 1,
    count: [6, 6],
    meaning:
      'direction cosines of image rows and columns (patient lying on the back, head first), for oblique slices',
  },
  PhaseEncodingDirection: {
    kind: 'choice',
    unit: '',
    choices: ['i', 'i-', 'j', 'j-', 'k', 'k-'],
    meaning: 'image axis along which lines are phase-encoded',
  },
  DiffusionBValues: {
    kind: 'numbers',
    unit: 's/mm2',
    min: 0,
    max: 30000,
    count: [1, 1000],
    meaning: 'diffusion weightings, one per shell, 0 for volumes without',
  },
  NumberOfDirections: whole(1, 1000, 'diffusion directions of each shell'),
  DoubleRefocused: {
    kind: 'boolean',
    unit: '',
    meaning: 'two refocusing pulses with four diffusion lobes around them',
  },
  DiffusionGradientAmplitude: {
    kind: 'number',
    unit: 'mT/m',
    min: 1,
    max: 500,
    meaning: 'amplitude of the diffusion lobes at the highest b-value',
  },
  DiffusionGradientDuration: seconds(0.001, 0.1, 'length of one diffusion lobe (delta)'),
  DiffusionGradientSeparation: seconds(
    0.002,
    0.3,
    'time between the starts of the two diffusion lobes (Delta)',
  ),
  MRAcquisitionType: {
    kind: 'choice',
    unit: '',
    choices: ['2D', '3D'],
    meaning: 'slices one by one, or a whole volume at once',
  },
  RFEchoTrainLength: whole(
    1,
    512,
    'refocusing pulses after one excitation, where gradient echoes are counted apart',
  ),
  ArterialSpinLabelingType: {
    kind: 'choice',
    unit: '',
    choices: ['PCASL', 'CASL', 'PASL'],
    meaning: 'labelling by a train of pulses, one long pulse, or one short pulse',
  },
  LabelingDuration: seconds(0.01, 10, 'length of the labelling'),
  PostLabelingDelay: seconds(
    0.01,
    10,
    'time from the end of the labelling (for PASL, from its pulse) to the readout',
  ),
  LabelingPulseInterval: {
    kind: 'number',
    unit: 'ms',
    min: 0.3,
    max: 10,
    meaning: 'time between neighbouring labelling pulses',
  },
  LabelingPulseMaximumGradient: {
    kind: 'number',
    unit: 'mT/m',
    min: 0.5,
    max: 100,
    meaning: 'gradient during a labelling pulse',
  },
  LabelingPulseAverageGradient: {
    kind: 'number',
    unit: 'mT/m',
    min: 0,
    max: 50,
    meaning: 'mean gradient of the labelling',
  },
  BackgroundSuppression: {
    kind: 'boolean',
    unit: '',
    meaning: 'inversion pulses between labelling and readout that suppress static tissue',
  },
  NumberOfTransients: whole(1, 10000, 'excitations of a spectroscopy scan'),
  WaterSuppression: {
    kind: 'boolean',
    unit: '',
    meaning: 'water-suppression pulses with their spoilers before each excitation',
  },
} as const satisfies Record<string, FieldSpec>;

export type FieldName = keyof typeof FIELDS;

/** What a field can hold. */
export type FieldValue = number | boolean | string | readonly number[];

export const FIELD_NAMES = Object.keys(FIELDS) as FieldName[];

export const isFieldName = (name: string): name is FieldName => Object.hasOwn(FIELDS, name);
