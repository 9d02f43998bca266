/** The constants of the plan and what a study's settings make of them. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parsePlanConstants } from '../../src/protocol/plan-constants.js';
import { planPreset } from '../../src/protocol/plan-preset.js';
import { LARGEST_RISE_DB } from '../../src/protocol/plan-ranges.js';
import { AGE_BANDS, type PlanSettings } from '../../src/protocol/plan-settings.js';

const text = readFileSync(
  new URL('../../sounds-synth/plans/defaults.yaml', import.meta.url),
  'utf8',
);
const constants = parsePlanConstants(text);

test('there is a plan for every band of children who are awake, from young to old', () => {
  expect(constants.bands.map(({ name }) => name)).toEqual(AGE_BANDS.filter(name => name !== '0-1'));
  const ages = constants.bands.map(({ fromYears }) => fromYears);
  expect(ages).toEqual(ages.toSorted((a, b) => a - b));
});

test('a band begins with the age in its name', () => {
  for (const { name, fromYears } of constants.bands) {
    expect(fromYears).toBe(name === 'adult' ? 18 : Number.parseInt(name, 10));
  }
});

test('no sound is shorter than twice the longest onset, so that it can fade in and be heard', () => {
  const onsets = constants.bands.map(({ first }) => first.onsetSeconds);
  expect(constants.shortestSoundSeconds).toBeGreaterThanOrEqual(2 * Math.max(...onsets));
});

describe('what the file may not say', () => {
  test.each([
    ['a rise above 3 dB', 'stepDb:\n  value: 3', 'stepDb:\n  value: 4'],
    ['an onset below 50 ms', '{ axis: onset, to: 0.05 }', '{ axis: onset, to: 0.04 }'],
    ['a week without a rest day', 'restDayEvery: { value: 7', 'restDayEvery: { value: 8'],
    ['something new on the last day', 'quietDays: { value: 2', 'quietDays: { value: 1'],
    ['more than two hours a week', 'minutesPerWeek: { value: 120', 'minutesPerWeek: { value: 121'],
    ['an unknown axis', '{ axis: order }', '{ axis: colour }'],
    ['a value without a source', "value: 20, source: 'our own default'", 'value: 20'],
  ])('%s', (_what, found, replacement) => {
    expect(text).toContain(found);
    expect(() => parsePlanConstants(text.replace(found, replacement))).toThrow();
  });
});

describe('settings of a study', () => {
  const used = (settings: PlanSettings) => planPreset(constants, settings, '7-9', 'awake')!;

  test('take the place of the constants', () => {
    const { constants, band } = used({
      startOffsetDb: -24,
      stepDb: 2,
      sessionsPerDay: 2,
      minutesPerDay: 10,
      constants: {
        restDayEvery: 4,
        layout: { cueLeadSeconds: 2 },
        rules: { comfortableToAdvance: 3 },
        band: { longestSessionMinutes: 3, first: { sounds: 1 }, ending: [] },
      },
    });
    expect(constants).toMatchObject({ startOffsetDb: -24, stepDb: 2, minutesPerDay: 10 });
    expect(constants.restDayEvery).toBe(4);
    expect(constants.layout).toMatchObject({ cueLeadSeconds: 2, cueSeconds: 0.8 });
    expect(constants.rules).toMatchObject({ comfortableToAdvance: 3, redMark: 8 });
    expect(band).toMatchObject({ sessionsPerDay: 2, longestSessionMinutes: 3, ending: [] });
    expect(band.first).toMatchObject({ sounds: 1, soundSeconds: 12 });
  });

  test('cannot pass the largest rise or the minutes of a day', () => {
    const { constants } = used({ stepDb: 6, minutesPerDay: 60 });
    expect(constants.stepDb).toBe(LARGEST_RISE_DB);
    expect(constants.minutesPerDay).toBe(20);
  });

  test('left out, change nothing', () => {
    const preset = used({});
    expect(preset.constants).toEqual(constants);
    expect(preset.band).toEqual(constants.bands.find(({ name }) => name === '7-9'));
  });

  test('a preset is never louder or faster than what the study set', () => {
    const settings = { startOffsetDb: -30, constants: { daysPerNewStep: 3 } };
    for (const preset of ['sound-sensitive', 'asleep'] as const) {
      const { constants: gentle } = planPreset(constants, settings, '7-9', preset)!;
      expect(gentle.startOffsetDb).toBe(-30);
      expect(gentle.daysPerNewStep).toBe(3);
    }
  });

  test('there is no plan for babies who are awake', () => {
    expect(planPreset(constants, {}, '0-1', 'awake')).toBeUndefined();
    expect(planPreset(constants, {}, '0-1', 'sound-sensitive')).toBeUndefined();
  });
});
