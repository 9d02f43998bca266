/**
 * Dual-echo gradient-echo field map.
 *
 * @module
 */
import { IMAGE_FIELDS, ONE_LINE_PER_REPETITION, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import { estimate, type Family } from './family.js';

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
    ONE_LINE_PER_REPETITION,
  ],
};
