/** Random protocols for the plan's properties. */
import fc from 'fast-check';
import type { LadderScan } from '../../src/plan/ladder.js';
import { PRESETS } from '../../src/protocol/plan-preset.js';
import { planConstants, presetOf } from '../helpers/plan-constants.js';

/** One to thirty scans of half a second to an hour, the range that a study file allows. */
export const scans: fc.Arbitrary<LadderScan[]> = fc
  .array(fc.double({ min: 0.5, max: 3600, noNaN: true }), { minLength: 1, maxLength: 30 })
  .map(durations =>
    durations.map((durationSeconds, i) => ({ name: `scan-${i + 1}`, durationSeconds })),
  );

/** Scans with an order from gentle to hard. */
export const orderedScans = scans.chain(list =>
  fc.record({
    scans: fc.constant(list),
    gentleOrder: fc.shuffledSubarray(
      list.map(({ name }) => name),
      { minLength: list.length },
    ),
  }),
);

export const preset = fc.constantFrom(
  ...planConstants.bands.flatMap(({ name }) => PRESETS.map(preset => presetOf(name, preset))),
);
