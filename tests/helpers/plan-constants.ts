/** The constants of the plan that ship with the program. */
import { readFileSync } from 'node:fs';
import { parsePlanConstants } from '../../src/protocol/plan-constants.js';
import { type PlanPreset, planPreset, type Preset } from '../../src/protocol/plan-preset.js';
import type { AgeBand, PlanSettings } from '../../src/protocol/plan-settings.js';

export const planConstants = parsePlanConstants(
  readFileSync(new URL('../../sounds-synth/plans/defaults.yaml', import.meta.url), 'utf8'),
);

/** What holds for a family of a band. */
export const presetOf = (
  ageBand: AgeBand,
  preset: Preset = 'awake',
  settings: PlanSettings = {},
): PlanPreset => planPreset(planConstants, settings, ageBand, preset)!;
