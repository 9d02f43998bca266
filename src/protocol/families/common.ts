/**
 * Fields and rules that several families share.
 *
 * @module
 */
import type { FieldName } from '../fields.js';
import { estimate, positive, type Rule, rule } from './family.js';

/** Fields that every family of images understands. */
export const IMAGE_FIELDS: readonly FieldName[] = [
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
  'ImageOrientationPatientDICOM',
  'PhaseEncodingDirection',
  'RepetitionTime',
];

/** Duration and number of volumes from one another. */
export const VOLUMES: readonly Rule[] = [
  rule('Duration', ['RepetitionTime', 'NumberOfVolumes'], 'RepetitionTime x volumes', (tr, n) =>
    positive(tr * n),
  ),
  rule('NumberOfVolumes', ['Duration', 'RepetitionTime'], 'Duration / RepetitionTime', (t, tr) =>
    Math.max(1, Math.round(t / tr)),
  ),
];

export const ISOTROPIC = estimate(
  'AcquisitionVoxelSize',
  ['SliceThickness'],
  'voxels as wide as the slice is thick',
  mm => [mm, mm, mm],
);

export const SLICE_THICKNESS: Rule = {
  field: 'SliceThickness',
  from: ['AcquisitionVoxelSize'],
  why: 'third side of the voxel',
  estimate: false,
  value: size => (size as readonly number[])[2],
};

export const SQUARE_MATRIX = estimate(
  'AcquisitionMatrixPE',
  ['BaseResolution'],
  'as many lines as samples along the readout',
  n => n,
);

/** One line of every slice or partition per repetition time. */
export const ONE_LINE_PER_REPETITION = rule(
  'Duration',
  ['RepetitionTime', 'AcquisitionMatrixPE', 'PartialFourier', 'ParallelReductionFactorInPlane'],
  'RepetitionTime x lines x partial Fourier / acceleration',
  (tr, lines, pf, r) => positive(tr * Math.ceil((lines * pf) / r)),
);
