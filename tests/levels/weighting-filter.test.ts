/** Digital weightings against the analogue curves they stand for, at every sample rate. */
import { describe, expect, test } from 'vitest';
import { aWeightingDb, cWeightingDb } from '../../src/levels/frequency-weighting.js';
import { aWeightingSections, cWeightingSections } from '../../src/levels/weighting-filter.js';
import { type Biquad, gainDb } from '../../src/signal/biquad.js';

/** What is asked of the meter, up to 16 kHz. */
const ASKED_DB = 0.1;

/** The table in the doc comment, to its last digit. */
const PRINTED_DB = 0.0006;

/** Largest error from 10 Hz to a frequency, on a grid that ends with it. */
function largestError(
  sections: readonly Biquad[],
  goalDb: (hertz: number) => number,
  sampleRateHz: number,
  topHz: number,
  step = 1.01,
): number {
  let largest = 0;
  for (let hertz = topHz; hertz >= 10; hertz /= step) {
    const error = gainDb(sections, hertz, sampleRateHz) - goalDb(hertz);
    if (Math.abs(error) > Math.abs(largest)) largest = error;
  }
  return largest;
}

const errorsAt = (sampleRateHz: number, step?: number): { a: number; c: number } => {
  const topHz = Math.min(20_000, sampleRateHz / 2);
  return {
    a: largestError(aWeightingSections(sampleRateHz), aWeightingDb, sampleRateHz, topHz, step),
    c: largestError(cWeightingSections(sampleRateHz), cWeightingDb, sampleRateHz, topHz, step),
  };
};

describe('the table in the doc comment is true', () => {
  test.each([
    [8_000, 0.064, 0.003],
    [11_025, 0.036, 0.005],
    [16_000, 0.019, 0.011],
    [22_050, 0.022, 0.019],
    [32_000, 0.027, 0.026],
    [44_100, 0.004, 0.003],
    [48_000, 0.001, 0.001],
    [96_000, 0, 0],
    [192_000, 0, 0],
  ])('at %d Hz A is within %f dB and C within %f dB', (sampleRateHz, a, c) => {
    const errors = errorsAt(sampleRateHz, 1.001);
    expect(Math.abs(Math.abs(errors.a) - a)).toBeLessThanOrEqual(PRINTED_DB);
    expect(Math.abs(Math.abs(errors.c) - c)).toBeLessThanOrEqual(PRINTED_DB);
  });
});

test('at any whole sample rate both hold the curve within 0.1 dB to the top of the band', () => {
  const rates: number[] = [];
  // A step that meets no round number; 42 kHz is where the fit has the least room.
  for (let rate = 8_000; rate <= 192_000; rate += rate > 40_000 && rate < 46_000 ? 101 : 1009) {
    rates.push(rate);
  }
  expect(rates.length).toBeGreaterThan(200);
  for (const rate of rates) {
    const { a, c } = errorsAt(rate);
    expect(Math.abs(a), `A at ${rate} Hz`).toBeLessThan(ASKED_DB);
    expect(Math.abs(c), `C at ${rate} Hz`).toBeLessThan(ASKED_DB);
  }
});

test.each([[8_000], [41_300], [44_100], [48_000], [192_000]])(
  'all poles at %d Hz are stable',
  rate => {
    for (const { a1, a2 } of aWeightingSections(rate)) {
      // The triangle of stable second-order sections.
      expect(Math.abs(a2)).toBeLessThan(1);
      expect(Math.abs(a1)).toBeLessThan(1 + a2);
    }
  },
);

test('both are exactly 0 dB at 1 kHz', () => {
  expect(gainDb(aWeightingSections(44_100), 1000, 44_100)).toBeCloseTo(0, 9);
  expect(gainDb(cWeightingSections(44_100), 1000, 44_100)).toBeCloseTo(0, 9);
});
