/**
 * Spoiled 3D gradient echo.
 *
 * @module
 */
import {
  ECHO_FIELDS,
  ECHOES,
  HEAD_VOXEL,
  IMAGE_FIELDS,
  LINES_OF_ALL_SLICES,
  ROOMY_READOUT,
  SLICE_THICKNESS,
  SQUARE_MATRIX,
} from './common.js';
import { estimate, type Family } from './family.js';

export const gradientEcho3d: Family = {
  fields: [...IMAGE_FIELDS, ...ECHO_FIELDS, 'NumberOfVolumes'],
  rules: [
    ...ECHOES,
    estimate('EchoTime', ['RepetitionTime'], '0.45 x RepetitionTime, at most 20 ms', tr =>
      Math.min(0.02, 0.45 * tr),
    ),
    ROOMY_READOUT,
    HEAD_VOXEL,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    LINES_OF_ALL_SLICES,
  ],
};
