/**
 * 3D turbo spin echo.
 *
 * @module
 */
import { IMAGE_FIELDS, ISOTROPIC, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import { estimate, type Family, positive, rule } from './family.js';

/** Refocusing pulse and crushers of one echo of a long 3D train, in s. Common practice, no source. */
const REFOCUS_OVERHEAD_SECONDS = 0.0022;

export const turboSpinEcho3d: Family = {
  fields: [
    ...IMAGE_FIELDS,
    'EchoTime',
    'EchoSpacing',
    'EchoTrainLength',
    'InversionTime',
    'FatSaturation',
    'Navigator',
  ],
  rules: [
    estimate(
      'EchoSpacing',
      ['PixelBandwidth'],
      `1 / PixelBandwidth + ${REFOCUS_OVERHEAD_SECONDS * 1000} ms for refocusing and crushers`,
      bandwidth => 1 / bandwidth + REFOCUS_OVERHEAD_SECONDS,
    ),
    ISOTROPIC,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    rule(
      'Duration',
      [
        'RepetitionTime',
        'AcquisitionMatrixPE',
        'NumberOfSlices',
        'PartialFourier',
        'ParallelReductionFactorInPlane',
        'EchoTrainLength',
      ],
      'RepetitionTime x lines x partitions x partial Fourier / (acceleration x echoes per train)',
      (tr, lines, slices, pf, r, etl) =>
        positive(tr * Math.ceil((lines * slices * pf) / (r * etl))),
    ),
  ],
};
