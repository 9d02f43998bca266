/** The peak finder against interpolating everywhere, and against sines whose peak is known. */
import { describe, expect, test } from 'vitest';
import { PeakBetweenSamples } from '../../src/signal/peak-between-samples.js';
import { seededRandom } from '../../src/signal/random.js';
import { sine, swelling } from '../helpers/signals.js';

function peakOf(samples: Float64Array, blockSize = samples.length): number {
  const finder = new PeakBetweenSamples();
  for (let from = 0; from < samples.length; from += blockSize) {
    finder.push(samples.subarray(from, from + blockSize));
  }
  return finder.result();
}

/** Points are computed in single precision. */
const ROUNDING = 1e-6;

const db = (ratio: number): number => 20 * Math.log10(ratio);

/** A parabola through quarter points misses a crest at the very top of the band by so much; never above. */
const CREST_LOW_DB = 0.1;
const CREST_HIGH_DB = 0.02;

/** Zeroth-order Bessel function by its integral, not by the series that the finder uses. */
function bessel(x: number): number {
  const steps = 200;
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += Math.exp(x * Math.cos((Math.PI * (i + 0.5)) / steps));
  return sum / steps;
}

/** The highest of all points of a grid, none skipped, with the finder's taps. */
function gridPeak(samples: Float64Array, pointsPerSample: number): number {
  const half = 12;
  const padded = new Float64Array(samples.length + 4 * half);
  padded.set(samples, 2 * half);
  let peak = samples.reduce((largest, x) => Math.max(largest, Math.abs(x)), 0);
  for (let point = 1; point < pointsPerSample; point++) {
    const taps = Float64Array.from({ length: 2 * half }, (_, k) => {
      const distance = k - (half - 1) - point / pointsPerSample;
      const sinc = Math.sin(Math.PI * distance) / (Math.PI * distance);
      return sinc * bessel(3.5 * Math.sqrt(1 - (distance / half) ** 2));
    });
    const total = taps.reduce((sum, tap) => sum + tap, 0);
    for (let i = 0; i + 2 * half <= padded.length; i++) {
      let sum = 0;
      for (let k = 0; k < 2 * half; k++) sum += taps[k]! * padded[i + k]!;
      peak = Math.max(peak, Math.abs(sum / total));
    }
  }
  return peak;
}

const random = seededRandom('peaks');

/** Kinds of signals; each call makes another of its kind, as a function of the sample's number. */
const KINDS: Readonly<Record<string, () => (i: number) => number>> = {
  'white noise': () => () => random.normal(),
  'noise full of treble': () => {
    let last = 0;
    return () => {
      const next = random.normal();
      const difference = next - last;
      last = next;
      return difference;
    };
  },
  'low noise': () => {
    let state = 0;
    return () => (state += 0.1 * (random.normal() - state));
  },
  'random signs': () => () => (random.uniform() < 0.5 ? -1 : 1),
  'sparse clicks': () => i => (i === 7 || random.uniform() < 0.01 ? random.normal() : 0),
  'a sine up to 0.46 of the sample rate': () => {
    const [turns, start] = [0.46 * random.uniform(), random.uniform()];
    return i => Math.sin(2 * Math.PI * (turns * i + start));
  },
  'four sines': () => {
    const parts = Array.from({ length: 4 }, () => [
      0.46 * random.uniform(),
      random.uniform(),
      random.uniform(),
    ]);
    return i =>
      parts.reduce((sum, [turns, start, size]) => {
        return sum + size! * Math.sin(2 * Math.PI * (turns! * i + start!));
      }, 0);
  },
};

describe('skips nothing that matters', () => {
  test.each(Object.keys(KINDS))('%s: no point of the grid is higher, and no crest much', kind => {
    for (let round = 0; round < 12; round++) {
      const make = KINDS[kind]!();
      const length = 50 + Math.floor(1000 * random.uniform());
      const samples = Float64Array.from({ length }, (_, i) => make(i));
      const peak = peakOf(samples, 1 + Math.floor(600 * random.uniform()));
      expect(peak).toBeGreaterThanOrEqual(gridPeak(samples, 4) * (1 - ROUNDING));
      const crestDb = db(gridPeak(samples, 32));
      expect(db(peak) - crestDb).toBeGreaterThan(-CREST_LOW_DB);
      expect(db(peak) - crestDb).toBeLessThan(CREST_HIGH_DB);
    }
  });
});

describe('finds the crest of a tone', () => {
  // The doc comment: flat within 0.1 dB to 0.42 of the sample rate, and up to 0.05 dB low between points.
  test.each([0.01, 0.1, 0.2, 0.25, 0.3, 0.35, 0.4, 0.42])('at %f of the sample rate', turns => {
    const tone = swelling(sine(turns, 20_000, 1, { phase: 0.4 }));
    expect(db(peakOf(tone))).toBeLessThan(0.1);
    expect(db(peakOf(tone))).toBeGreaterThan(-0.15);
  });

  test('between its samples: at a quarter of the rate and 45 degrees they lie 3 dB below it', () => {
    const tone = swelling(sine(0.25, 10_000, 1, { phase: Math.PI / 4 }));
    const samplePeak = tone.reduce((largest, x) => Math.max(largest, Math.abs(x)), 0);
    expect(db(samplePeak)).toBeCloseTo(-3.01, 2);
    expect(Math.abs(db(peakOf(tone)))).toBeLessThan(0.05);
  });
});

test('silence peaks at 0, a single sample at itself, the last sample counts', () => {
  expect(peakOf(new Float64Array(100))).toBe(0);
  expect(peakOf(Float64Array.of(0.7))).toBeGreaterThanOrEqual(0.7);
  const late = new Float64Array(1000);
  late[999] = -0.5;
  expect(peakOf(late, 10)).toBeGreaterThanOrEqual(0.5);
});

test('asking for the result does not change it', () => {
  const finder = new PeakBetweenSamples();
  const samples = Float64Array.from({ length: 500 }, () => random.normal());
  finder.push(samples.subarray(0, 250));
  finder.result();
  finder.push(samples.subarray(250));
  expect(finder.result()).toBe(peakOf(samples));
});
