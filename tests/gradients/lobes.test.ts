/** Lobes: areas, limits, and the echo-planar trapezoid against worked numbers. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  lobeArea,
  lobeDurationSeconds,
  lobeWithin,
  shortestLobe,
  strongestLobe,
} from '../../src/gradients/lobes.js';
import {
  diffusionGradient,
  diffusionWeighting,
  encodingArea,
} from '../../src/gradients/physics.js';

const LIMITS = fc.record({
  amplitude: fc.double({ min: 5, max: 300, noNaN: true }),
  slewRate: fc.double({ min: 20, max: 300, noNaN: true }),
});
const AREA = fc.double({ min: -0.5, max: 0.5, noNaN: true }).filter(area => Math.abs(area) > 1e-6);

/** Sum of a few floating-point products. */
const ROUNDING = 1e-9;

describe('any lobe', () => {
  test('has its area and keeps the limits: the shortest one', () => {
    fc.assert(
      fc.property(AREA, LIMITS, (area, limits) => {
        const lobe = shortestLobe(area, limits);
        expect(Math.abs(lobeArea(lobe) / area - 1)).toBeLessThan(ROUNDING);
        expect(Math.abs(lobe.amplitude)).toBeLessThanOrEqual(limits.amplitude * (1 + ROUNDING));
        const slewRate = Math.abs(lobe.amplitude) / lobe.rampSeconds / 1e3;
        expect(slewRate).toBeLessThanOrEqual(limits.slewRate * (1 + ROUNDING));
        expect(lobe.flatSeconds).toBeGreaterThanOrEqual(-ROUNDING);
      }),
    );
  });

  test('has its area and its length, or does not exist because even the shortest is longer', () => {
    fc.assert(
      fc.property(
        AREA,
        LIMITS,
        fc.double({ min: 1e-4, max: 0.02, noNaN: true }),
        (area, limits, lengthSeconds) => {
          const lobe = lobeWithin(area, lengthSeconds, limits);
          const shortestSeconds = lobeDurationSeconds(shortestLobe(area, limits));
          if (lobe === undefined) {
            expect(shortestSeconds).toBeGreaterThan(lengthSeconds * (1 - 1e-6));
          } else {
            expect(Math.abs(lobeArea(lobe) / area - 1)).toBeLessThan(1e-6);
            expect(Math.abs(lobeDurationSeconds(lobe) - lengthSeconds)).toBeLessThan(ROUNDING);
            expect(shortestSeconds).toBeLessThan(lengthSeconds * (1 + 1e-6));
          }
        },
      ),
    );
  });

  test('is never longer than its room: the strongest one', () => {
    fc.assert(
      fc.property(
        AREA,
        LIMITS,
        fc.double({ min: 1e-4, max: 0.02, noNaN: true }),
        (area, limits, roomSeconds) => {
          const lobe = strongestLobe(area, roomSeconds, limits);
          expect(lobeDurationSeconds(lobe)).toBeLessThanOrEqual(roomSeconds + ROUNDING);
          expect(Math.abs(lobeArea(lobe))).toBeLessThanOrEqual(Math.abs(area) * (1 + ROUNDING));
          expect(Math.sign(lobe.amplitude)).toBe(Math.sign(area));
        },
      ),
    );
  });
});

/**
 * Echo-planar readouts of public study protocols at 200 T/m/s: mean gradient, plateau and ramp,
 * worked by hand from resolution and echo spacing (with gammaBar = 42.577 MHz/T), to their printed digits.
 */
describe('an echo-planar lobe crosses one voxel of k-space in one echo spacing', () => {
  test.each([
    [2.4, 0.51, 19.2, 25.6, 0.128],
    [2.0, 0.58, 20.3, 26.1, 0.131],
    [2.4, 0.64, 15.3, 17.8, 0.089],
    [1.7, 0.69, 20.0, 24.3, 0.122],
    [1.25, 0.78, 24.1, 29.8, 0.149],
    [3.0, 0.51, 15.4, 18.8, 0.094],
  ])(
    '%d mm in %d ms: mean %d, plateau %d mT/m, ramp %d ms',
    (voxelMm, spacingMs, mean, plateau, rampMs) => {
      const lobe = lobeWithin(encodingArea(voxelMm), spacingMs * 1e-3, {
        amplitude: 80,
        slewRate: 200,
      })!;
      expect(Math.abs(lobeArea(lobe) / (spacingMs * 1e-3) - mean)).toBeLessThan(0.06);
      expect(Math.abs(lobe.amplitude - plateau)).toBeLessThan(0.06);
      expect(Math.abs(lobe.rampSeconds * 1e3 - rampMs)).toBeLessThan(0.0006);
    },
  );
});

describe('diffusion weighting', () => {
  /** A pair of rectangles as the spins feel them, their starts `separationSeconds` apart. */
  const pair = (durationSeconds: number, separationSeconds: number) =>
    [
      { startSeconds: 0, durationSeconds, sign: 1 },
      { startSeconds: separationSeconds, durationSeconds, sign: -1 },
    ] as const;

  test('97.4 mT/m, 10.6 ms and 43.1 ms apart give 3018 s/mm2, as a public protocol prints', () => {
    expect(diffusionWeighting(97.4, pair(10.6e-3, 43.1e-3))).toBeCloseTo(3018, -1);
  });

  test('b = 10 000 with 12.9 ms and 21.8 ms needs 219 mT/m, as a strong-gradient protocol has it', () => {
    expect(diffusionGradient(10_000, pair(12.9e-3, 21.8e-3))).toBeCloseTo(219, 0);
  });

  test('is that of Stejskal and Tanner (1965) for pairs of any length and distance', () => {
    const gamma = 2 * Math.PI * 42.577e6;
    for (const [deltaSeconds, separationSeconds] of [
      [0.005, 0.005],
      [0.01, 0.03],
      [0.02, 0.06],
    ] as const) {
      const formula =
        (gamma * 0.04 * deltaSeconds) ** 2 * (separationSeconds - deltaSeconds / 3) * 1e-6;
      expect(diffusionWeighting(40, pair(deltaSeconds, separationSeconds)) / formula).toBeCloseTo(
        1,
        9,
      );
    }
  });

  test('of four pulses is that of the sum of their moments, integrated in small steps', () => {
    const pulses = [
      { startSeconds: 0.004, durationSeconds: 0.012, sign: 1 },
      { startSeconds: 0.022, durationSeconds: 0.018, sign: 1 },
      { startSeconds: 0.04, durationSeconds: 0.018, sign: -1 },
      { startSeconds: 0.064, durationSeconds: 0.012, sign: -1 },
    ] as const;
    const stepSeconds = 1e-6;
    let moment = 0;
    let integral = 0;
    for (let timeSeconds = 0; timeSeconds < 0.08; timeSeconds += stepSeconds) {
      const pulse = pulses.find(
        p => timeSeconds >= p.startSeconds && timeSeconds < p.startSeconds + p.durationSeconds,
      );
      moment += (pulse?.sign ?? 0) * 50e-3 * stepSeconds;
      integral += moment ** 2 * stepSeconds;
    }
    const b = (2 * Math.PI * 42.577e6) ** 2 * integral * 1e-6;
    expect(diffusionWeighting(50, pulses) / b).toBeCloseTo(1, 3);
  });
});
