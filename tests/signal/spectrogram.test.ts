import { expect, test } from 'vitest';
import { spectrogram } from '../../src/signal/spectrogram.js';

const RATE_HZ = 44_100;

test('a tone that jumps is where it should be, in time and frequency', () => {
  const samples = Float64Array.from({ length: RATE_HZ }, (_, n) =>
    Math.sin((2 * Math.PI * (n < RATE_HZ / 2 ? 500 : 2000) * n) / RATE_HZ),
  );
  const { levelsDb, columns, rows } = spectrogram(samples, RATE_HZ, 100, 60, 100, 8000);
  expect(levelsDb).toHaveLength(100 * 60);
  const loudestRow = (column: number): number => {
    let best = 0;
    for (let row = 0; row < rows; row++) {
      if (levelsDb[row * columns + column]! > levelsDb[best * columns + column]!) best = row;
    }
    return best;
  };
  const hertzOf = (row: number): number => 8000 * (100 / 8000) ** ((row + 0.5) / rows);
  expect(Math.abs(hertzOf(loudestRow(20)) / 500 - 1)).toBeLessThan(0.06);
  expect(Math.abs(hertzOf(loudestRow(80)) / 2000 - 1)).toBeLessThan(0.06);
});

test('a sound shorter than one look is refused', () => {
  expect(() => spectrogram(new Float64Array(100), RATE_HZ, 10, 10, 100, 8000)).toThrow(RangeError);
});
