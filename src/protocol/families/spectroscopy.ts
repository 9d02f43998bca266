/**
 * Single-voxel spectroscopy.
 *
 * @module
 */
import { type Family, positive, rule } from './family.js';

export const spectroscopy: Family = {
  fields: [
    'Duration',
    'RepetitionTime',
    'EchoTime',
    'NumberOfTransients',
    'WaterSuppression',
    'AcquisitionVoxelSize',
    'SliceOrientation',
    'ImageOrientationPatientDICOM',
    'PhaseEncodingDirection',
  ],
  rules: [
    rule(
      'Duration',
      ['RepetitionTime', 'NumberOfTransients'],
      'RepetitionTime x transients',
      (tr, n) => positive(tr * n),
    ),
    rule(
      'NumberOfTransients',
      ['Duration', 'RepetitionTime'],
      'Duration / RepetitionTime',
      (duration, tr) => Math.max(1, Math.round(duration / tr)),
    ),
  ],
};
