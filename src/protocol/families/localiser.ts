/**
 * Localiser.
 *
 * @module
 */
import { IMAGE_FIELDS, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import { type Family, positive, rule } from './family.js';

export const localiser: Family = {
  fields: [...IMAGE_FIELDS, 'EchoTime', 'NumberOfVolumes'],
  rules: [
    rule(
      'Duration',
      ['RepetitionTime', 'AcquisitionMatrixPE', 'NumberOfSlices', 'NumberOfVolumes'],
      'RepetitionTime x lines x slices x volumes',
      (tr, lines, slices, n) => positive(tr * lines * slices * n),
    ),
    SQUARE_MATRIX,
    SLICE_THICKNESS,
  ],
};
