/** The ladder's rules, for random protocols, bands, ceilings and step sizes. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildLadder, type LadderInput, practiceRoomStep } from '../../src/plan/ladder.js';
import { secondsOfSound } from '../../src/plan/layout.js';
import { INTERLUDE_KINDS, type Step, type StepChange } from '../../src/plan/plan.js';
import type { PlanPreset } from '../../src/protocol/plan-preset.js';
import type { HardSound, HardSoundWay } from '../../src/protocol/plan-settings.js';
import { planConstants, presetOf } from '../helpers/plan-constants.js';
import { orderedScans, preset } from './arbitraries.js';

const inputs: fc.Arbitrary<LadderInput> = fc
  .record({
    protocol: orderedScans,
    preset,
    hard: fc.array(fc.constantFrom<HardSoundWay | undefined>(undefined, 'soften', 'alone'), {
      minLength: 30,
      maxLength: 30,
    }),
    ceilingDb: fc.double({ min: -30, max: 12, noNaN: true }),
    stepDb: fc.double({ min: 0.5, max: 3, noNaN: true }),
    startOffsetDb: fc.double({ min: -40, max: 0, noNaN: true }),
    minutesPerDay: fc.double({ min: 1, max: 20, noNaN: true }),
    between: fc.array(
      fc.record({
        kind: fc.constantFrom(...INTERLUDE_KINDS),
        durationSeconds: fc.double({ min: 0.5, max: 600, noNaN: true }),
        // The scan that follows, or none.
        place: fc.nat(30),
      }),
      { maxLength: 12 },
    ),
  })
  .map(({ protocol, preset, hard, ceilingDb, stepDb, startOffsetDb, minutesPerDay, between }) => ({
    ...protocol,
    interludes: between.map(({ kind, durationSeconds, place }) => ({
      kind,
      durationSeconds,
      beforeScan: protocol.scans[place]?.name ?? null,
    })),
    ceilingDb,
    hardSounds: protocol.scans.flatMap(({ name }, i) => {
      // One in ten or so.
      const how = i % 4 === 0 ? hard[i] : undefined;
      return how === undefined ? [] : [{ scan: name, how }];
    }),
    preset: {
      ...preset,
      constants: { ...preset.constants, stepDb, startOffsetDb, minutesPerDay },
    },
  }));

/** Axes on which two steps differ, found from what is heard. */
function changedAxes(before: Step, after: Step): StepChange[] {
  const names = ({ sounds }: Step) => sounds.map(({ scan }) => scan);
  const lengths = ({ sounds }: Step) => new Map(sounds.map(s => [s.scan, s.durationSeconds]));
  const shared = names(before).filter(name => names(after).includes(name));
  const axes: StepChange[] = [];
  if (before.levelDb !== after.levelDb) axes.push('level');
  if (before.onsetSeconds !== after.onsetSeconds) axes.push('onset');
  if (before.order !== after.order) axes.push('order');
  if (before.announced !== after.announced) axes.push('announced');
  if (before.posture !== after.posture) axes.push('posture');
  if (before.softness !== after.softness) axes.push('softness');
  if (before.interludes.length === 0 && after.interludes.length > 0) axes.push('visit');
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
          // A hard sound's own ladder is a new beginning, and its end brings the others back.
          if (after.change === 'alone' || after.change === 'together') continue;
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
        const { stepDb, startOffsetDb } = input.preset.constants;
        const topDb = Math.min(input.ceilingDb, input.preset.highestOffsetDb);
        expect(steps[0]!.levelDb).toBe(Math.min(startOffsetDb, topDb));
        expect(steps.at(-1)!.levelDb).toBe(topDb);
        for (const [before, after] of pairs(steps)) {
          if (after.change === 'alone') continue;
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
          expect(step.onsetSeconds).toBeGreaterThanOrEqual(0.05);
          for (const { durationSeconds } of step.sounds) {
            expect(durationSeconds).toBeGreaterThanOrEqual(2 * step.onsetSeconds);
          }
        }
        for (const [before, after] of pairs(steps)) {
          if (after.change !== 'alone')
            expect(after.onsetSeconds).toBeLessThanOrEqual(before.onsetSeconds);
        }
      }),
      { seed: 3 },
    );
  });

  test('never holds more sound than the band and the day allow', () => {
    fc.assert(
      fc.property(inputs, input => {
        const { band, constants } = input.preset;
        const minutes = Math.min(band.longestSessionMinutes, constants.minutesPerDay);
        for (const step of buildLadder(input).steps) {
          expect(secondsOfSound(step)).toBeLessThanOrEqual(60 * minutes);
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
        const missing = input.gentleOrder.filter(name => !heard.includes(name));
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
            expect(names).toEqual(input.gentleOrder.filter(name => names.includes(name)));
          }
        }
      }),
      { seed: 6 },
    );
  });
});

const EIGHT = Array.from({ length: 8 }, (_, i) => ({ name: `s${i}`, durationSeconds: 200 }));

const eight = (preset: PlanPreset, ceilingDb = 5, hardSounds: readonly HardSound[] = []) =>
  buildLadder({
    scans: EIGHT,
    gentleOrder: EIGHT.map(({ name }) => name),
    ceilingDb,
    preset,
    hardSounds,
  });

test('the default ladder of each band has 16 to 18 steps for a protocol of eight scans', () => {
  const lengths = planConstants.bands.map(({ name }) => eight(presetOf(name)).steps.length);
  expect(lengths).toEqual([17, 18, 18, 17, 16, 16]);
});

test('the last step of a child who is awake is the whole visit, as long as the age allows', () => {
  const { steps } = eight(presetOf('7-9'));
  const visit = steps.at(-1)!;
  expect(visit.change).toBe('visit');
  expect(visit.sounds.map(({ scan }) => scan)).toEqual(EIGHT.map(({ name }) => name));
  // Eight minutes for eight sounds, two rides of 8 s and eight pre-scans of 6.6 s.
  expect(visit.sounds.every(({ durationSeconds }) => durationSeconds === 51)).toBe(true);
  const kinds = visit.interludes.map(({ kind, before }) => `${before} ${kind}`);
  expect(kinds.slice(0, 4)).toEqual(['0 table-motion', '0 pre-scan', '1 pause', '1 pre-scan']);
  expect(kinds.at(-1)).toBe('8 table-motion');
});

test('where minutes are few, pre-scans and then the table make room for the sounds', () => {
  // Two minutes: eight sounds of 8 s leave 56 s, which hold both rides of the table and six pre-scans.
  const { steps, notes } = eight(presetOf('2-3'));
  const visit = steps.at(-1)!;
  expect(visit.change).toBe('visit');
  expect(visit.sounds.map(({ durationSeconds }) => durationSeconds)).toEqual(EIGHT.map(() => 8));
  const places = (wanted: string): number[] =>
    visit.interludes.filter(({ kind }) => kind === wanted).map(({ before }) => before);
  expect(places('table-motion')).toEqual([0, 8]);
  expect(places('pre-scan')).toEqual([0, 1, 2, 3, 4, 5]);
  expect(notes).toContain(
    'The whole visit goes without 2 of its pre-scans and rides of the table, so that it fits into a step of 2 minutes.',
  );
});

test("the visit for the lab's own practice room has every scan as long as the minutes allow", () => {
  const input = {
    scans: EIGHT,
    gentleOrder: EIGHT.map(({ name }) => name),
    ceilingDb: 5,
    preset: presetOf('2-3'),
    hardSounds: [{ scan: 's1', how: 'alone' as const }],
  };
  const step = practiceRoomStep(input, 20);
  expect(step.sounds.map(({ scan }) => scan)).toEqual(EIGHT.map(({ name }) => name));
  expect(step.sounds.every(({ durationSeconds }) => durationSeconds === 141)).toBe(true);
  expect(step).toMatchObject({ levelDb: 5, softness: 0, posture: 'lying-still' });
  expect(step.interludes.length).toBeGreaterThan(8);
  // With time enough, each as long as on the day.
  expect(secondsOfSound(practiceRoomStep(input, 60))).toBe(8 * 200 + 2 * 8 + 8 * 6.6);
});

test('a plan for a sound-sensitive child is softer, shorter and slower than that of its age', () => {
  const awake = presetOf('7-9');
  const sensitive = presetOf('7-9', 'sound-sensitive');
  const { steps } = eight(sensitive);
  expect(steps[0]).toMatchObject({ levelDb: -24, softness: 1, announced: true });
  expect(Math.max(...steps.map(({ levelDb }) => levelDb))).toBe(0);
  expect(sensitive.band.longestSessionMinutes).toBe(awake.band.longestSessionMinutes / 2);
  expect(sensitive.constants.daysPerNewStep).toBe(2);
  expect(steps.every(({ announced }) => announced)).toBe(true);
});

test('a plan for a child who sleeps starts with a long fade, has no cue between sounds, and no visit', () => {
  const { steps } = eight(presetOf('0-1', 'asleep'), -10);
  expect(steps.map(({ levelDb }) => levelDb)).toEqual([-25, -22, -19, -19, -16, -13, -10, -10]);
  expect(steps.every(({ onsetSeconds, announced }) => onsetSeconds === 10 && !announced)).toBe(
    true,
  );
  expect(steps.every(({ interludes }) => interludes.length === 0)).toBe(true);
});

describe('a sound that is hard', () => {
  test('is heard dull and even in every step when it is softened', () => {
    const { steps } = eight(presetOf('10-13'), 5, [{ scan: 's1', how: 'soften' }]);
    const softness = steps.flatMap(({ sounds }) =>
      sounds.filter(({ scan }) => scan === 's1').map(sound => sound.softness),
    );
    expect(new Set(softness)).toEqual(new Set([1]));
    expect(softness).toHaveLength(steps.length);
  });

  test('has a ladder of its own after that of the others, from soft to full, then joins them', () => {
    const { steps } = eight(presetOf('10-13'), 5, [{ scan: 's1', how: 'alone' }]);
    const from = steps.findIndex(({ change }) => change === 'alone');
    const to = steps.findIndex(({ change }) => change === 'together');
    const hears = (step: Step): boolean => step.sounds.some(({ scan }) => scan === 's1');
    expect(steps.slice(0, from).some(hears)).toBe(false);
    expect(steps[from - 1]!.levelDb).toBe(5);
    expect(steps[from]).toMatchObject({ levelDb: -18, softness: 1, onsetSeconds: 3 });
    for (const step of steps.slice(from, to)) expect(step.sounds.map(s => s.scan)).toEqual(['s1']);
    expect(steps[to - 1]).toMatchObject({ levelDb: 5, softness: 0, onsetSeconds: 0.1 });
    expect(steps.slice(to).every(step => step.sounds.length === 8)).toBe(true);
  });
});

test('default levels rise from 18 dB below talk by 3 dB to 5 dB above it', () => {
  const scans = [{ name: 'a', durationSeconds: 60 }];
  const { steps } = buildLadder({
    scans,
    gentleOrder: ['a'],
    ceilingDb: 5,
    preset: presetOf('2-3'),
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
  const scans = ['a', 'b'].map(name => ({ name, durationSeconds: 60 }));
  const good = { scans, gentleOrder: ['b', 'a'], ceilingDb: 5, preset: presetOf('2-3') };
  expect(() => buildLadder({ ...good, ...wrong })).toThrow(RangeError);
});
