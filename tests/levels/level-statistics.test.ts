/** Percentiles of levels against sorting them. */
import { describe, expect, test } from 'vitest';
import { LevelStatistics } from '../../src/levels/level-statistics.js';
import { seededRandom } from '../../src/signal/random.js';

/** Half a class of 0.05 dB, and rounding. */
const CLASS_DB = 0.0251;

const meanSquare = (dbfs: number): number => 0.5 * 10 ** (dbfs / 10);

describe('LevelStatistics', () => {
  test('a level exceeded for a share of the time is the one at that place of the sorted levels', () => {
    const random = seededRandom('levels');
    const levels = Array.from({ length: 2000 }, () => -60 + 50 * random.uniform());
    const statistics = new LevelStatistics();
    for (const level of levels) statistics.push(meanSquare(level));
    const falling = [...levels].sort((a, b) => b - a);
    for (const percent of [1, 5, 10, 50, 90, 95, 99]) {
      const at = (percent / 100) * levels.length;
      expect(Math.abs(statistics.exceededDbfs(percent) - falling[at]!)).toBeLessThan(CLASS_DB);
    }
  });

  test('half silence, half tone: the tone above the median, nothing below it', () => {
    const statistics = new LevelStatistics();
    for (let i = 0; i < 100; i++) statistics.push(i < 50 ? 0 : meanSquare(-20));
    expect(Math.abs(statistics.exceededDbfs(10) + 20)).toBeLessThan(CLASS_DB);
    expect(statistics.exceededDbfs(90)).toBe(-Infinity);
  });

  test('a single level is every percentile; no level at all is silence', () => {
    const statistics = new LevelStatistics();
    expect(statistics.exceededDbfs(50)).toBe(-Infinity);
    statistics.push(meanSquare(-7));
    for (const percent of [1, 50, 99]) {
      expect(Math.abs(statistics.exceededDbfs(percent) + 7)).toBeLessThan(CLASS_DB);
    }
  });
});
