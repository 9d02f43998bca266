/** Lobes: areas, limits, and the echo-planar trapezoid against worked numbers. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  lobeArea,
  lobeDurationS,
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
        const slewRate = Math.abs(lobe.amplitude) / lobe.rampS / 1e3;
        expect(slewRate).toBeLessThanOrEqual(limits.slewRate * (1 + ROUNDING));
        expect(lobe.flatS).toBeGreaterThanOrEqual(-ROUNDING);
      }),
    );
  });

  test('has its area and its length, or does not exist because even the shortest is longer', () => {
    fc.assert(
      fc.property(
        AREA,
        LIMITS,
        fc.double({ min: 1e-4, max: 0.02, noNaN: true }),
        (area, limits, lengthS) => {
          const lobe = lobeWithin(area, lengthS, limits);
          const shortestS = lobeDurationS(shortestLobe(area, limits));
          if (lobe === undefined) {
            expect(shortestS).toBeGreaterThan(lengthS * (1 - 1e-6));
          } else {
            expect(Math.abs(lobeArea(lobe) / area - 1)).toBeLessThan(1e-6);
            expect(Math.abs(lobeDurationS(lobe) - lengthS)).toBeLessThan(ROUNDING);
            expect(shortestS).toBeLessThan(lengthS * (1 + 1e-6));
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
        (area, limits, roomS) => {
          const lobe = strongestLobe(area, roomS, limits);
          expect(lobeDurationS(lobe)).toBeLessThanOrEqual(roomS + ROUNDING);
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
      expect(Math.abs(lobe.rampS * 1e3 - rampMs)).toBeLessThan(0.0006);
    },
  );
});

describe('diffusion weighting', () => {
  /** A pair of rectangles as the spins feel them, their starts `separationS` apart. */
  const pair = (durationS: number, separationS: number) =>
    [
      { startS: 0, durationS, sign: 1 },
      { startS: separationS, durationS, sign: -1 },
    ] as const;

  test('97.4 mT/m, 10.6 ms and 43.1 ms apart give 3018 s/mm2, as a public protocol prints', () => {
    expect(diffusionWeighting(97.4, pair(10.6e-3, 43.1e-3))).toBeCloseTo(3018, -1);
  });

  test('b = 10 000 with 12.9 ms and 21.8 ms needs 219 mT/m, as a strong-gradient protocol has it', () => {
    expect(diffusionGradient(10_000, pair(12.9e-3, 21.8e-3))).toBeCloseTo(219, 0);
  });

  test('is that of Stejskal and Tanner (1965) for pairs of any length and distance', () => {
    const gamma = 2 * Math.PI * 42.577e6;
    for (const [deltaS, separationS] of [
      [0.005, 0.005],
      [0.01, 0.03],
      [0.02, 0.06],
    ] as const) {
      const formula = (gamma * 0.04 * deltaS) ** 2 * (separationS - deltaS / 3) * 1e-6;
      expect(diffusionWeighting(40, pair(deltaS, separationS)) / formula).toBeCloseTo(1, 9);
    }
  });

  test('of four pulses is that of the sum of their moments, integrated in small steps', () => {
    const pulses = [
      { startS: 0.004, durationS: 0.012, sign: 1 },
      { startS: 0.022, durationS: 0.018, sign: 1 },
      { startS: 0.04, durationS: 0.018, sign: -1 },
      { startS: 0.064, durationS: 0.012, sign: -1 },
    ] as const;
    const stepS = 1e-6;
    let moment = 0;
    let integral = 0;
    for (let timeS = 0; timeS < 0.08; timeS += stepS) {
      const pulse = pulses.find(p => timeS >= p.startS && timeS < p.startS + p.durationS);
      moment += (pulse?.sign ?? 0) * 50e-3 * stepS;
      integral += moment ** 2 * stepS;
    }
    const b = (2 * Math.PI * 42.577e6) ** 2 * integral * 1e-6;
    expect(diffusionWeighting(50, pulses) / b).toBeCloseTo(1, 3);
  });
});
