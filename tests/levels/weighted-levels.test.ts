/** All filters in one loop against the same sections run one after the other. */
import { describe, expect, test } from 'vitest';
import { kWeightingSections } from '../../src/levels/k-weighting.js';
import { TIME_CONSTANT_SECONDS, WeightedLevels } from '../../src/levels/weighted-levels.js';
import { aWeightingSections, cWeightingSections } from '../../src/levels/weighting-filter.js';
import { type Biquad, BiquadCascade } from '../../src/signal/biquad.js';
import { seededRandom } from '../../src/signal/random.js';
import { join, silence, sine } from '../helpers/signals.js';

/** Rounding, relative: sums are formed in another order. */
const ROUNDING = 1e-9;

const random = seededRandom('weighted levels');

const SOUNDS: Readonly<Record<string, (rateHz: number) => Float64Array>> = {
  noise: rateHz => Float64Array.from({ length: rateHz / 2 }, () => random.normal()),
  'a low tone far from 0': rateHz => sine(30, 0.5, rateHz).map(sample => 0.3 + sample),
  'clicks in silence': rateHz => {
    const click = Float64Array.of(1, -0.5);
    return join(silence(0.1, rateHz), click, silence(1, rateHz), click, silence(0.2, rateHz));
  },
};

const RATES_HZ = [8_000, 44_100, 48_000, 192_000];

function filtered(samples: Float64Array, sections: readonly Biquad[]): Float64Array {
  const output = new Float64Array(samples.length);
  new BiquadCascade(sections).process(samples, output);
  return output;
}

const energy = (samples: Float64Array): number =>
  samples.reduce((sum, sample) => sum + sample * sample, 0);

/** The highest position of a needle, by the recursion of one pole. */
function highest(samples: Float64Array, rateHz: number, timeConstantSeconds: number): number {
  const keep = Math.exp(-1 / (rateHz * timeConstantSeconds));
  let needle = 0;
  return samples.reduce((most, sample) => {
    needle = keep * needle + (1 - keep) * sample * sample;
    return Math.max(most, needle);
  }, 0);
}

describe.each(RATES_HZ)('at %i Hz', rateHz => {
  test.each(Object.keys(SOUNDS))('%s', kind => {
    const samples = SOUNDS[kind]!(rateHz);
    const levels = new WeightedLevels(rateHz);
    const ticks = levels.push(samples);
    const result = levels.result();
    const a = filtered(samples, aWeightingSections(rateHz));
    const k = filtered(samples, kWeightingSections(rateHz));
    const ticked = Math.round(ticks.length * 0.01 * rateHz);
    const pairs = {
      A: [result.sumOfSquaresA, energy(a)],
      C: [result.sumOfSquaresC, energy(filtered(samples, cWeightingSections(rateHz)))],
      Z: [result.sumOfSquaresZ, energy(samples)],
      K: [ticks.reduce((sum, tick) => sum + tick.sumOfSquaresK, 0), energy(k.subarray(0, ticked))],
      FAST: [result.maxFastA, highest(a, rateHz, TIME_CONSTANT_SECONDS.fast)],
      SLOW: [result.maxSlowA, highest(a, rateHz, TIME_CONSTANT_SECONDS.slow)],
    } as const;
    for (const [name, [got, expected]] of Object.entries(pairs)) {
      expect(Math.abs(got / expected - 1), name).toBeLessThan(ROUNDING);
    }
    expect(result.sum).toBeCloseTo(
      samples.reduce((sum, sample) => sum + sample, 0),
      6,
    );
  });
});

test('one channel does not know of another', () => {
  const samples = Float64Array.from({ length: 3000 }, () => random.normal());
  const alone = new WeightedLevels(44_100);
  alone.push(samples);
  const [one, other] = [new WeightedLevels(44_100), new WeightedLevels(8_000)];
  one.push(samples.subarray(0, 1000));
  other.push(samples);
  one.push(samples.subarray(1000));
  expect(one.result()).toEqual(alone.result());
});
