/** Minimum phase against a filter that is known to have it. */
import { describe, expect, test } from 'vitest';
import { signalOfSpectrum } from '../../src/signal/fft.js';
import { minimumPhase } from '../../src/signal/minimum-phase.js';

const SIZE = 4096;

/** A one-pole low-pass with a zero inside the unit circle: its impulse response is known and of minimum phase. */
const [POLE, ZERO] = [0.9, -0.5];

function known(bin: number): readonly [number, number] {
  const angle = (-2 * Math.PI * bin) / SIZE;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const numerator = [1 - ZERO * cos, -ZERO * sin] as const;
  const denominator = [1 - POLE * cos, -POLE * sin] as const;
  const norm = denominator[0] ** 2 + denominator[1] ** 2;
  return [
    (numerator[0] * denominator[0] + numerator[1] * denominator[1]) / norm,
    (numerator[1] * denominator[0] - numerator[0] * denominator[1]) / norm,
  ];
}

describe('minimumPhase', () => {
  test('finds the phase of a minimum-phase filter from its magnitude', () => {
    const magnitudes = Float64Array.from({ length: SIZE / 2 + 1 }, (_, bin) =>
      Math.hypot(...known(bin)),
    );
    const spectrum = minimumPhase(magnitudes);
    for (let bin = 0; bin <= SIZE / 2; bin += 16) {
      const [re, im] = known(bin);
      expect(Math.abs(spectrum[2 * bin]! - re)).toBeLessThan(1e-9);
      expect(Math.abs(spectrum[2 * bin + 1]! - im)).toBeLessThan(1e-9);
    }
  });

  test('gives nothing before time zero', () => {
    const magnitudes = Float64Array.from(
      { length: SIZE / 2 + 1 },
      (_, bin) => 1 / (1 + (bin / 300) ** 2),
    );
    const response = signalOfSpectrum(minimumPhase(magnitudes));
    const energy = (from: number, to: number): number =>
      response.slice(from, to).reduce((sum, x) => sum + x * x, 0);
    expect(energy(SIZE / 2, SIZE) / energy(0, SIZE)).toBeLessThan(1e-9);
  });

  test.each([[new Float64Array(5)], [Float64Array.of(1, NaN, 1)], [Float64Array.of(1, -1, 1)]])(
    'refuses magnitudes that are none',
    magnitudes => {
      expect(() => minimumPhase(magnitudes)).toThrow(RangeError);
    },
  );
});
