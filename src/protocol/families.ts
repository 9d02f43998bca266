/**
 * Which fields each sequence family understands.
 *
 * @module
 */
import type { FieldName } from './fields.js';
import type { ScanType } from './scan.js';

/** Fields that every family understands. */
const COMMON: readonly FieldName[] = [
  'Duration',
  'NumberOfSlices',
  'SliceThickness',
  'AcquisitionVoxelSize',
  'AcquisitionMatrixPE',
  'BaseResolution',
  'PixelBandwidth',
  'ParallelReductionFactorInPlane',
  'PartialFourier',
  'SliceOrientation',
  'PhaseEncodingDirection',
  'RepetitionTime',
];

/** Fields of every echo-planar readout. */
const ECHO_PLANAR: readonly FieldName[] = [
  'EchoTime',
  'EchoSpacing',
  'EffectiveEchoSpacing',
  'EchoTrainLength',
  'MultibandAccelerationFactor',
  'NumberOfVolumes',
  'FatSaturation',
];

/** The fields that may stand in a scan of each type. */
export const FAMILY_FIELDS: Readonly<Record<ScanType, readonly FieldName[]>> = {
  localiser: [...COMMON, 'EchoTime', 'NumberOfVolumes'],
  'inversion-gradient-echo-3d': [
    ...COMMON,
    'EchoTime',
    'InversionTime',
    'RepetitionTimeExcitation',
    'EchoTrainLength',
  ],
  'turbo-spin-echo-3d': [...COMMON, 'EchoTime', 'EchoSpacing', 'EchoTrainLength', 'FatSaturation'],
  'echo-planar': [...COMMON, ...ECHO_PLANAR],
  'diffusion-echo-planar': [
    ...COMMON,
    ...ECHO_PLANAR,
    'DiffusionBValues',
    'NumberOfDirections',
    'DiffusionGradientAmplitude',
    'DiffusionGradientDuration',
    'DiffusionGradientSeparation',
  ],
  'field-map-gradient-echo': [...COMMON, 'EchoTime1', 'EchoTime2'],
  'field-map-echo-planar': [...COMMON, ...ECHO_PLANAR],
};
