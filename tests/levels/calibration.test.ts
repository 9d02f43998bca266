/** Levels at the ear from digital ones: sums, and the range that goes with them. */
import { expect, test } from 'vitest';
import { levelAtEar } from '../../src/levels/calibration.js';

test('full scale gives what the calibration says, and everything else moves with it', () => {
  const calibration = { fullScaleDb: 92, uncertaintyDb: 3 };
  expect(levelAtEar(0, calibration)).toEqual({ low: 89, expected: 92, high: 95 });
  expect(levelAtEar(-30, calibration)).toEqual({ low: 59, expected: 62, high: 65 });
});

test('silence stays silence however uncertain', () => {
  const { low, expected, high } = levelAtEar(-Infinity, { fullScaleDb: 92, uncertaintyDb: 8 });
  expect([low, expected, high]).toEqual([-Infinity, -Infinity, -Infinity]);
});
