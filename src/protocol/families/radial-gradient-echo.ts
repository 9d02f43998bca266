/**
 * Radial gradient echo.
 *
 * @module
 */
import {
  ECHO_FIELDS,
  ECHOES,
  IMAGE_FIELDS,
  repetitionsOfSlices,
  ROOMY_READOUT,
  SLICE_THICKNESS,
} from './common.js';
import { estimate, type Family } from './family.js';

export const radialGradientEcho: Family = {
  fields: [...IMAGE_FIELDS, ...ECHO_FIELDS, 'NumberShots', 'NumberOfVolumes'],
  rules: [
    ...ECHOES,
    estimate('EchoTime', ['RepetitionTime'], '0.5 x RepetitionTime, at most 20 ms', tr =>
      Math.min(0.02, 0.5 * tr),
    ),
    ROOMY_READOUT,
    SLICE_THICKNESS,
    repetitionsOfSlices('NumberShots'),
  ],
};
