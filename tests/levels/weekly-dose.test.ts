/** Weekly dose against ITU-T H.870 and hand-computed values. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { weeklyDosePercent } from '../../src/levels/weekly-dose.js';

const dose = (levelDba: number, hours: number, listener: 'child' | 'adult' = 'child'): number =>
  weeklyDosePercent([{ levelDba, durationSeconds: 3600 * hours }], listener);

test.each([
  // The standard's own definition: 100 % at 75 dBA (children) and 80 dBA (adults) for 40 h.
  ['child', 75, 40, 100],
  ['adult', 80, 40, 100],
  // Equal energy, so 10 dB more allow a tenth of the time; the standard's table for adults: 90 dBA 4 h.
  ['adult', 90, 4, 100],
  ['adult', 100, 0.4, 100],
  ['child', 85, 4, 100],
] as const)('%s: %d dBA for %d h is %d %%', (listener, level, hours, percent) => {
  expect(dose(level, hours, listener)).toBeCloseTo(percent, 9);
});

test('20 minutes a day at 60, 70 and 75 dBA use 0.18, 1.8 and 5.8 % of a child’s week', () => {
  // 2.333 h x 10^((L - 75) / 10) / 40 h, by hand.
  expect(dose(60, 7 / 3)).toBeCloseTo(0.1845, 4);
  expect(dose(70, 7 / 3)).toBeCloseTo(1.845, 3);
  expect(dose(75, 7 / 3)).toBeCloseTo(5.833, 3);
});

test('is additive, grows with level and time, and silence adds nothing', () => {
  const level = fc.double({ min: 0, max: 120, noNaN: true });
  const time = fc.double({ min: 0, max: 1e5, noNaN: true });
  fc.assert(
    fc.property(level, time, time, (levelDba, a, b) => {
      const split = weeklyDosePercent(
        [
          { levelDba, durationSeconds: a },
          { levelDba, durationSeconds: b },
          { levelDba: -Infinity, durationSeconds: 1000 },
        ],
        'child',
      );
      const whole = dose(levelDba, (a + b) / 3600);
      expect(split).toBeCloseTo(whole, 6 - Math.ceil(Math.log10(1 + whole)));
      expect(dose(levelDba + 1, (a + b) / 3600)).toBeGreaterThanOrEqual(whole);
    }),
    { seed: 1 },
  );
});
