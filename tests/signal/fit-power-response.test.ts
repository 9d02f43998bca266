/** Fits whose answer is known: the power response of a filter gives back that filter. */
import { describe, expect, test } from 'vitest';
import { type Biquad, powerGain } from '../../src/signal/biquad.js';
import { fitPowerResponse } from '../../src/signal/fit-power-response.js';

const RATE_HZ = 48_000;

describe('fitPowerResponse', () => {
  test.each([
    ['complex poles and zeros', { b0: 0.5, b1: -0.3, b2: 0.2, a1: -0.9, a2: 0.6 }],
    ['real poles and zeros', { b0: 0.7, b1: 0.35, b2: -0.07, a1: -0.2, a2: -0.15 }],
    ['a single pole', { b0: 0.3, b1: 0, b2: 0, a1: -0.7, a2: 0 }],
  ] satisfies [string, Biquad][])('finds a section with %s again', (_, section) => {
    const sections = fitPowerResponse({
      power: hertz => powerGain([section], hertz, RATE_HZ),
      sampleRateHz: RATE_HZ,
      topHz: 24_000,
      zeros: section.b1 === 0 ? 0 : 2,
      poles: section.a2 === 0 ? 1 : 2,
    });
    expect(sections).toHaveLength(1);
    const [found] = sections as [Biquad];
    for (const key of ['b0', 'b1', 'b2', 'a1', 'a2'] as const) {
      expect(found[key], key).toBeCloseTo(section[key], 6);
    }
  });

  test('three zeros and poles come as two sections with the wanted power', () => {
    const wanted: Biquad[] = [
      { b0: 0.5, b1: -0.3, b2: 0.2, a1: -0.9, a2: 0.6 },
      { b0: 1, b1: 0.4, b2: 0, a1: 0.3, a2: 0 },
    ];
    const found = fitPowerResponse({
      power: hertz => powerGain(wanted, hertz, RATE_HZ),
      sampleRateHz: RATE_HZ,
      topHz: 24_000,
      zeros: 3,
      poles: 3,
    });
    expect(found).toHaveLength(2);
    for (let hertz = 0; hertz <= 24_000; hertz += 500) {
      expect(powerGain(found, hertz, RATE_HZ) / powerGain(wanted, hertz, RATE_HZ)).toBeCloseTo(
        1,
        6,
      );
    }
  });

  test('a power that no real filter has is refused', () => {
    expect(() =>
      fitPowerResponse({
        power: () => -1,
        sampleRateHz: RATE_HZ,
        topHz: 24_000,
        zeros: 1,
        poles: 1,
      }),
    ).toThrow(RangeError);
  });
});
