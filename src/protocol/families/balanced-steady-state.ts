/**
 * Balanced steady state.
 *
 * @module
 */
import { IMAGE_FIELDS, LINES_OF_ALL_SLICES, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import { estimate, type Family, rule } from './family.js';

/** Share of the repetition time that the readout takes. Common practice, no source. */
const READOUT_SHARE = 0.45;

export const balancedSteadyState: Family = {
  fields: [...IMAGE_FIELDS, 'EchoTime', 'NumberOfVolumes', 'MRAcquisitionType'],
  rules: [
    rule('EchoTime', ['RepetitionTime'], 'the middle of the repetition', tr => tr / 2),
    estimate(
      'PixelBandwidth',
      ['RepetitionTime'],
      `a readout of ${READOUT_SHARE} x RepetitionTime`,
      tr => Math.min(20_000, Math.ceil(1 / (READOUT_SHARE * tr))),
    ),
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    LINES_OF_ALL_SLICES,
  ],
};
