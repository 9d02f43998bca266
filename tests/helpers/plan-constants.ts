/** The constants of the plan that ship with the program. */
import { readFileSync } from 'node:fs';
import { parsePlanConstants } from '../../src/protocol/plan-constants.js';

export const planConstants = parsePlanConstants(
  readFileSync(new URL('../../sounds-synth/plans/defaults.yaml', import.meta.url), 'utf8'),
);
