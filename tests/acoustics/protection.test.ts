import { describe, expect, test } from 'vitest';
import { attenuationDb } from '../../src/acoustics/protection.js';
import { library } from '../helpers/study.js';

describe.each([...library.protections.values()])('$name', protection => {
  const { octaves, deratingDb, boneConductionLimitDb } = protection;

  test('takes off its octave values, less the derating, never past bone conduction', () => {
    for (const octave of octaves) {
      const expected = Math.max(
        0,
        Math.min(octave.attenuationDb, boneConductionLimitDb) - deratingDb,
      );
      expect(attenuationDb(protection, octave.hertz)).toBeCloseTo(expected, 9);
    }
  });

  test('stays between neighbouring octaves, without overshoot or jumps', () => {
    let previous = attenuationDb(protection, 20);
    for (let hertz = 20; hertz < 20_000; hertz *= 1.01) {
      const value = attenuationDb(protection, hertz);
      expect(Math.abs(value - previous)).toBeLessThan(0.35);
      previous = value;
      const above = octaves.findIndex(octave => octave.hertz > hertz);
      const [a, b] = [octaves.at(Math.max(0, above - 1))!, octaves.at(above)!];
      const bounds = [a.attenuationDb, b.attenuationDb].map(
        db => Math.min(db, boneConductionLimitDb) - deratingDb,
      );
      expect(value).toBeGreaterThanOrEqual(Math.min(...bounds) - 1e-9);
      expect(value).toBeLessThanOrEqual(Math.max(...bounds) + 1e-9);
    }
  });
});
