/**
 * Zero echo time.
 *
 * @module
 */
import { IMAGE_FIELDS, ISOTROPIC, SLICE_THICKNESS } from './common.js';
import { type Family, positive, rule } from './family.js';

export const zeroEchoTime: Family = {
  fields: [...IMAGE_FIELDS, 'NumberShots'],
  rules: [
    rule('Duration', ['RepetitionTime', 'NumberShots'], 'RepetitionTime x spokes', (tr, spokes) =>
      positive(tr * spokes),
    ),
    ISOTROPIC,
    SLICE_THICKNESS,
  ],
};
