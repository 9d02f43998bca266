/**
 * Spoiled 2D gradient echo.
 *
 * @module
 */
import {
  ECHO_FIELDS,
  ECHOES,
  HEAD_VOXEL,
  IMAGE_FIELDS,
  repetitionsOfSlices,
  ROOMY_READOUT,
  SLICE_THICKNESS,
  SQUARE_MATRIX,
} from './common.js';
import type { Family } from './family.js';

export const gradientEcho2d: Family = {
  fields: [...IMAGE_FIELDS, ...ECHO_FIELDS, 'NumberOfVolumes'],
  rules: [
    ...ECHOES,
    ROOMY_READOUT,
    HEAD_VOXEL,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    repetitionsOfSlices('AcquisitionMatrixPE'),
  ],
};
