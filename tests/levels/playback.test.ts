/** Weeks of practice at other volumes, against the hours that ITU-T H.870 allows and hand-computed doses. */
import { describe, expect, test } from 'vitest';
import { voiceAtFullVolume, weekAtVolume } from '../../src/levels/playback.js';

/** So that the level of the loudest sound is that of the voice. */
const hours = (h: number) => [{ offsetDb: 0, durationSeconds: 3600 * h }];

describe('a week at a volume', () => {
  // Minutes that the children's allowance (75 dBA, 40 h) lasts; adults' by 5 dB more.
  test.each([
    ['child', 75, 40 * 60],
    ['child', 85, 4 * 60],
    ['child', 95, 24],
    ['child', 100, 7.59],
    ['child', 107, 90.9 / 60],
    ['child', 110, 45.5 / 60],
    ['adult', 100, 24],
    ['adult', 110, 2.4],
  ] as const)('%s at %d dBA: the allowance lasts %d minutes', (listener, levelDba, minutes) => {
    const week = weekAtVolume(hours(1), levelDba, listener);
    expect(week.minutesToLimit / minutes).toBeCloseTo(1, 2);
    expect(week.weeklyDosePercent).toBeCloseTo((100 * 60) / week.minutesToLimit, 9);
    expect(week.passesLimit).toBe(minutes < 60);
  });

  test('counts all that is heard, and its loudest stretch alone for the level and the minutes', () => {
    const week = weekAtVolume(
      [
        { offsetDb: 0, durationSeconds: 600 },
        { offsetDb: -10, durationSeconds: 6000 },
        { offsetDb: 5, durationSeconds: 60 },
      ],
      70,
      'child',
    );
    expect(week.laeqDba).toBe(75);
    expect(week.minutesToLimit).toBeCloseTo(2400, 9);
    // In minutes at 75 dBA: 10 min and 100 min a tenth as strong, both 5 dB down, and 1 min.
    expect(week.weeklyDosePercent).toBeCloseTo((100 * (20 / 10 ** 0.5 + 1)) / 2400, 9);
  });

  test('grows tenfold with 10 dB, and is nothing for a week of nothing', () => {
    const [soft, loud] = [60, 70].map(voice => weekAtVolume(hours(2), voice, 'child'));
    expect(loud!.weeklyDosePercent / soft!.weeklyDosePercent).toBeCloseTo(10, 9);
    expect(weekAtVolume([], 60, 'child')).toEqual({
      laeqDba: -Infinity,
      weeklyDosePercent: 0,
      minutesToLimit: Infinity,
      passesLimit: false,
    });
  });
});

test('a device at full volume brings the voice reference to its own level', () => {
  const device = {
    name: 'x',
    label: 'x',
    lowEndHz: 100,
    fullVolume: { typicalDba: 84, worstDba: 101 },
  };
  expect(voiceAtFullVolume(device, -25)).toEqual({ typical: 59, worst: 76 });
});
