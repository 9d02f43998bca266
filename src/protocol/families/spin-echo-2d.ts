/**
 * 2D spin echo.
 *
 * @module
 */
import { HEAD_VOXEL, IMAGE_FIELDS, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import type { Family } from './family.js';
import { sliceRules } from './multi-slice.js';

export const spinEcho2d: Family = {
  fields: [
    ...IMAGE_FIELDS,
    'EchoTime',
    'EchoTrainLength',
    'NumberOfConcatenations',
    'FatSaturation',
  ],
  rules: [
    HEAD_VOXEL,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    ...sliceRules(['EchoTime', 'PixelBandwidth'], (te, bandwidth) => te + 0.5 / bandwidth),
  ],
};
