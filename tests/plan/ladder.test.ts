/** The ladder's rules, for random protocols, bands, ceilings and step sizes. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildLadder, type LadderInput } from '../../src/plan/ladder.js';
import { soundSeconds } from '../../src/plan/layout.js';
import type { Step, StepChange } from '../../src/plan/plan.js';
import { planConstants } from '../helpers/plan-constants.js';
import { band, orderedScans } from './arbitraries.js';

const inputs: fc.Arbitrary<LadderInput> = fc
  .record({
    protocol: orderedScans,
    band,
    ceilingDb: fc.double({ min: -30, max: 12, noNaN: true }),
    stepDb: fc.double({ min: 0.5, max: 3, noNaN: true }),
    startOffsetDb: fc.double({ min: -40, max: 0, noNaN: true }),
    minutesPerDay: fc.double({ min: 1, max: 20, noNaN: true }),
  })
  .map(({ protocol, band, ceilingDb, stepDb, startOffsetDb, minutesPerDay }) => ({
    ...protocol,
    band,
    ceilingDb,
    constants: { ...planConstants, stepDb, startOffsetDb, minutesPerDay },
  }));

/** Axes on which two steps differ, found from what is heard. */
function changedAxes(before: Step, after: Step): StepChange[] {
  const names = ({ sounds }: Step) => sounds.map(({ scan }) => scan);
  const lengths = ({ sounds }: Step) => new Map(sounds.map(s => [s.scan, s.durationS]));
  const shared = names(before).filter(name => names(after).includes(name));
  const axes: StepChange[] = [];
  if (before.levelDb !== after.levelDb) axes.push('level');
  if (before.onsetS !== after.onsetS) axes.push('onset');
  if (before.order !== after.order) axes.push('order');
  if (names(before).toSorted().join() !== names(after).toSorted().join()) axes.push('sounds');
  if (shared.some(name => lengths(before).get(name) !== lengths(after).get(name))) {
    axes.push('duration');
  }
  return axes;
}

const pairs = (steps: readonly Step[]): [Step, Step][] =>
  steps.slice(1).map((step, i) => [steps[i]!, step]);

describe('a ladder', () => {
  test('changes exactly one axis per step, the one it names', () => {
    fc.assert(
      fc.property(inputs, input => {
        const { steps } = buildLadder(input);
        expect(steps[0]!.change).toBe('start');
        for (const [before, after] of pairs(steps)) {
          expect(changedAxes(before, after)).toEqual([after.change]);
        }
      }),
      { seed: 1 },
    );
  });

  test('starts at the start level, never falls, never rises by more than a step, ends at the ceiling', () => {
    fc.assert(
      fc.property(inputs, input => {
        const { steps } = buildLadder(input);
        const { stepDb, startOffsetDb } = input.constants;
        expect(steps[0]!.levelDb).toBe(Math.min(startOffsetDb, input.ceilingDb));
        expect(steps.at(-1)!.levelDb).toBe(input.ceilingDb);
        for (const [before, after] of pairs(steps)) {
          const riseDb = after.levelDb - before.levelDb;
          expect(riseDb).toBeGreaterThanOrEqual(0);
          // Sums of decimal fractions are off by their binary rounding.
          expect(riseDb).toBeLessThanOrEqual(stepDb + 1e-9);
        }
      }),
      { seed: 2 },
    );
  });

  test('keeps onsets of at least 50 ms that only get shorter, and sounds twice as long as their onset', () => {
    fc.assert(
      fc.property(inputs, input => {
        const { steps } = buildLadder(input);
        for (const step of steps) {
          expect(step.onsetS).toBeGreaterThanOrEqual(0.05);
          for (const { durationS } of step.sounds) {
            expect(durationS).toBeGreaterThanOrEqual(2 * step.onsetS);
          }
        }
        for (const [before, after] of pairs(steps)) {
          expect(after.onsetS).toBeLessThanOrEqual(before.onsetS);
        }
      }),
      { seed: 3 },
    );
  });

  test('never holds more sound than the band and the day allow', () => {
    fc.assert(
      fc.property(inputs, input => {
        const minutes = Math.min(input.band.longestSessionMinutes, input.constants.minutesPerDay);
        for (const step of buildLadder(input).steps) {
          expect(soundSeconds(step)).toBeLessThanOrEqual(60 * minutes);
        }
      }),
      { seed: 4 },
    );
  });

  test('ends with every scan in the order of the day, or says which are left out', () => {
    fc.assert(
      fc.property(inputs, input => {
        const { steps, notes } = buildLadder(input);
        const heard = steps.at(-1)!.sounds.map(({ scan }) => scan);
        const order = input.scans.map(({ name }) => name).filter(name => heard.includes(name));
        expect(heard).toEqual(order);
        const missing = input.gentleOrder.slice(heard.length);
        for (const name of missing) {
          expect(notes.some(note => note.includes(name))).toBe(true);
        }
      }),
      { seed: 5 },
    );
  });

  test('plays the gentlest sounds first until the last change', () => {
    fc.assert(
      fc.property(inputs, input => {
        for (const { order, sounds } of buildLadder(input).steps) {
          if (order === 'gentle') {
            const names = sounds.map(({ scan }) => scan);
            expect(names).toEqual(input.gentleOrder.slice(0, sounds.length));
          }
        }
      }),
      { seed: 6 },
    );
  });
});

test('the default ladder of each band has 12 to 16 steps for a protocol of eight scans', () => {
  const scans = Array.from({ length: 8 }, (_, i) => ({ name: `s${i}`, durationS: 200 }));
  const gentleOrder = scans.map(({ name }) => name);
  const lengths = planConstants.bands.map(
    band =>
      buildLadder({ scans, gentleOrder, ceilingDb: 5, band, constants: planConstants }).steps
        .length,
  );
  expect(lengths).toEqual([14, 15, 14, 13, 12, 12]);
});

test('default levels rise from 18 dB below talk by 3 dB to 5 dB above it', () => {
  const scans = [{ name: 'a', durationS: 60 }];
  const band = planConstants.bands[0]!;
  const { steps } = buildLadder({
    scans,
    gentleOrder: ['a'],
    ceilingDb: 5,
    band,
    constants: planConstants,
  });
  const levels = new Set(steps.map(({ levelDb }) => levelDb));
  expect([...levels]).toEqual([-18, -15, -12, -9, -6, -3, 0, 3, 5]);
});

test.each([
  ['no scans', { scans: [], gentleOrder: [] }],
  ['an order that lacks a scan', { gentleOrder: ['a'] }],
  ['an order that names a scan twice', { gentleOrder: ['a', 'a'] }],
  ['a ceiling of NaN', { ceilingDb: Number.NaN }],
  ['a ceiling of 21 dB', { ceilingDb: 21 }],
])('refuses %s', (_what, wrong) => {
  const scans = ['a', 'b'].map(name => ({ name, durationS: 60 }));
  const good = { scans, gentleOrder: ['b', 'a'], ceilingDb: 5, constants: planConstants };
  const band = planConstants.bands[0]!;
  expect(() => buildLadder({ ...good, band, ...wrong })).toThrow(RangeError);
});
