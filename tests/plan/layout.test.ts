/** The timetable of a step. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { layoutStep, secondsOfSound } from '../../src/plan/layout.js';
import type { Step } from '../../src/plan/plan.js';
import { planConstants } from '../helpers/plan-constants.js';

const { layout } = planConstants;

const stepOf = (durations: readonly number[], order: Step['order'] = 'gentle'): Step => ({
  number: 1,
  change: 'start',
  levelDb: -18,
  onsetSeconds: 4,
  softness: 0,
  announced: true,
  posture: 'any',
  order,
  sounds: durations.map((durationSeconds, i) => ({
    scan: `scan-${i}`,
    durationSeconds,
    softness: 0,
  })),
  interludes: [],
});

test('silence, voice, then cue and sound in turn, a closing cue, silence', () => {
  const { parts, durationSeconds } = layoutStep(stepOf([10, 12.5]), layout);
  expect(
    parts.map(({ kind, startSeconds, endSeconds }) => [kind, startSeconds, endSeconds]),
  ).toEqual([
    ['voice', 1, 4],
    ['cue', 5, 5.8],
    ['sound', 6.8, 16.8],
    ['cue', 18.3, 19.1],
    ['sound', 20.1, 32.6],
    ['end-cue', 34.1, 34.9],
  ]);
  expect(durationSeconds).toBe(36.4);
});

test('the real order has longer pauses, with the scanner’s background from sound to sound', () => {
  const { parts } = layoutStep(stepOf([10, 10], 'protocol'), layout);
  expect(
    parts.map(({ kind, startSeconds, endSeconds }) => [kind, startSeconds, endSeconds]),
  ).toEqual([
    ['voice', 1, 4],
    ['cue', 5, 5.8],
    ['sound', 6.8, 16.8],
    ['background', 16.8, 24.6],
    ['cue', 22.8, 23.6],
    ['sound', 24.6, 34.6],
    ['end-cue', 36.1, 36.9],
  ]);
});

test('cues of other lengths move what follows, and keep their distance to their sound', () => {
  const lengths = new Map<string | null, number>([
    ['scan-0', 2.5],
    ['scan-1', 1.1],
    [null, 3],
  ]);
  const { parts, durationSeconds } = layoutStep(stepOf([10, 10], 'protocol'), layout, scan =>
    lengths.get(scan)!,
  );
  expect(
    parts.map(({ kind, startSeconds, endSeconds }) => [kind, startSeconds, endSeconds]),
  ).toEqual([
    ['voice', 1, 4],
    ['cue', 5, 7.5],
    ['sound', 8.5, 18.5],
    ['background', 18.5, 26.6],
    ['cue', 24.5, 25.6],
    ['sound', 26.6, 36.6],
    ['end-cue', 38.1, 41.1],
  ]);
  expect(durationSeconds).toBe(42.6);
});

test('every cue comes before its sound by the stated time, and only background overlaps', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 80, max: 6000 }), { minLength: 1, maxLength: 20 }),
      fc.constantFrom('gentle' as const, 'protocol' as const),
      (tenths, order) => {
        const step = stepOf(
          tenths.map(t => t / 10),
          order,
        );
        const { parts, durationSeconds } = layoutStep(step, layout);
        const heard = parts.filter(({ kind }) => kind !== 'background');
        for (const [i, part] of heard.entries()) {
          expect(part.startSeconds).toBeGreaterThanOrEqual(
            i === 0 ? layout.leadInSeconds : heard[i - 1]!.endSeconds,
          );
          if (part.kind === 'sound') {
            const cue = heard[i - 1]!;
            expect(cue.kind).toBe('cue');
            expect(cue.sound).toBe(part.sound);
            expect(part.startSeconds - cue.endSeconds).toBeCloseTo(layout.cueLeadSeconds, 5);
            expect(part.endSeconds - part.startSeconds).toBeCloseTo(
              step.sounds[part.sound]!.durationSeconds,
              5,
            );
          }
        }
        expect(durationSeconds).toBeCloseTo(heard.at(-1)!.endSeconds + layout.endSeconds, 5);
        expect(secondsOfSound(step)).toBeCloseTo(tenths.reduce((a, b) => a + b, 0) / 10, 5);
      },
    ),
    { seed: 1 },
  );
});
