/**
 * Spiral.
 *
 * @module
 */
import { IMAGE_FIELDS, ISOTROPIC, repetitionsOfSlices, SLICE_THICKNESS } from './common.js';
import { estimate, type Family } from './family.js';

/** Repetition times from this on, in s, are of whole volumes: one spiral per slice, with a late echo. Common practice, no source. */
const VOLUME_TR_SECONDS = 0.5;

export const spiral: Family = {
  fields: [...IMAGE_FIELDS, 'EchoTime', 'NumberShots', 'NumberOfVolumes'],
  rules: [
    estimate(
      'EchoTime',
      ['RepetitionTime'],
      `as early as it goes, or 25 ms where RepetitionTime is from ${VOLUME_TR_SECONDS} s`,
      tr => (tr < VOLUME_TR_SECONDS ? Math.max(0.001, 0.2 * tr) : 0.025),
    ),
    estimate(
      'NumberShots',
      ['RepetitionTime'],
      `one where RepetitionTime is from ${VOLUME_TR_SECONDS} s`,
      tr => (tr < VOLUME_TR_SECONDS ? undefined : 1),
    ),
    ISOTROPIC,
    SLICE_THICKNESS,
    repetitionsOfSlices('NumberShots'),
  ],
};
