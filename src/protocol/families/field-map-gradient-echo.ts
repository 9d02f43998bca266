/**
 * Dual-echo gradient-echo field map.
 *
 * @module
 */
import { IMAGE_FIELDS, ONE_LINE_PER_REPETITION, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import { estimate, type Family, positive, rule } from './family.js';

/**
 * Repetition times below are too short for slices in turn, in s: the slices are partitions of a slab, a
 * 3D field map. Common practice, no source: 3D ones repeat every 5 to 30 ms, 2D ones every 300 and more.
 */
export const LONGEST_SLAB_REPETITION_SECONDS = 0.05;

export const fieldMapGradientEcho: Family = {
  fields: [...IMAGE_FIELDS, 'EchoTime1', 'EchoTime2'],
  rules: [
    estimate(
      'EchoTime2',
      ['EchoTime1', 'PixelBandwidth'],
      'EchoTime1 + 2.46 ms (one fat-water cycle at 3 T), or + one readout where that is longer',
      (te, bandwidth) => te + Math.max(0.00246, 1 / bandwidth + 0.0004),
    ),
    SQUARE_MATRIX,
    SLICE_THICKNESS,
    rule(
      'Duration',
      [
        'RepetitionTime',
        'AcquisitionMatrixPE',
        'NumberOfSlices',
        'PartialFourier',
        'ParallelReductionFactorInPlane',
      ],
      'RepetitionTime x lines x partitions x partial Fourier / acceleration',
      (tr, lines, partitions, pf, r) =>
        tr < LONGEST_SLAB_REPETITION_SECONDS
          ? positive(tr * Math.ceil((lines * pf) / r) * partitions)
          : undefined,
    ),
    ONE_LINE_PER_REPETITION,
  ],
};
