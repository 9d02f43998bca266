/** Sampling against the closed-form Fourier transform of a piecewise-linear waveform. */
import { describe, expect, test } from 'vitest';
import {
  type Sampling,
  sampleWaveform,
  samplingGain,
} from '../../src/acoustics/sample-waveform.js';
import type { Waveform } from '../../src/gradients/timeline.js';
import { realSpectrum } from '../../src/signal/fft.js';
import { largestDifference } from '../helpers/signals.js';

const RATE_HZ = 44_100;
const SIZE = 8192;

const sampled = (shape: Waveform, sampling: Partial<Sampling> = {}): Float64Array =>
  sampleWaveform(shape, { sampleRateHz: RATE_HZ, length: SIZE, ...sampling });

const waveform = (
  ...points: readonly (readonly [timeSeconds: number, amplitude: number])[]
): Waveform => ({
  timesSeconds: Float64Array.from(points, ([timeSeconds]) => timeSeconds),
  amplitudes: Float64Array.from(points, ([, amplitude]) => amplitude),
});

/** Fourier transform at a frequency: the sum of the transforms of its straight pieces, by parts. */
function transform(
  { timesSeconds, amplitudes }: Waveform,
  hertz: number,
): readonly [number, number] {
  const omega = 2 * Math.PI * hertz;
  let re = 0;
  let im = 0;
  for (let i = 1; i < timesSeconds.length; i++) {
    const [t0, t1, a0, a1] = [
      timesSeconds[i - 1]!,
      timesSeconds[i]!,
      amplitudes[i - 1]!,
      amplitudes[i]!,
    ];
    if (t1 === t0) continue;
    const slope = (a1 - a0) / (t1 - t0);
    // Antiderivative of (a + s (t - t0)) e^(-jwt): e^(-jwt) (j (a + s (t - t0)) / w + s / w^2).
    for (const [t, a, sign] of [
      [t1, a1, 1],
      [t0, a0, -1],
    ] as const) {
      const [cos, sin] = [Math.cos(omega * t), -Math.sin(omega * t)];
      const [x, y] = [slope / omega ** 2, a / omega];
      re += sign * (x * cos - y * sin);
      im += sign * (x * sin + y * cos);
    }
  }
  return [re * RATE_HZ, im * RATE_HZ];
}

/** Relative error in dB of sampled against exact, at a bin. */
function errorDb(shape: Waveform, bin: number): number {
  const hertz = (bin * RATE_HZ) / SIZE;
  const spectrum = realSpectrum(sampled(shape));
  const gain = samplingGain(hertz, RATE_HZ);
  const [re, im] = transform(shape, hertz);
  const error = Math.hypot(spectrum[2 * bin]! / gain - re, spectrum[2 * bin + 1]! / gain - im);
  return 20 * Math.log10(error / Math.hypot(re, im));
}

/** A trapezoid that starts between two samples, with a length that is no whole number of them. */
const trapezoid = waveform([0.0123456, 0], [0.0125123, 18], [0.0130456, 18], [0.0132123, 0]);

describe('sampleWaveform', () => {
  test.each([
    [200, -150],
    [1000, -150],
    [2500, -110],
    [5000, -90],
  ])(
    'is exact at %i Hz to better than %i dB: nothing aliases, corners keep their place',
    (hertz, limitDb) => {
      expect(errorDb(trapezoid, Math.round((hertz * SIZE) / RATE_HZ))).toBeLessThan(limitDb);
    },
  );

  test('is exact for a waveform that steps', () => {
    const stepped = waveform([0.02, 7], [0.0207, 7], [0.0207, -3], [0.0219, -3]);
    expect(errorDb(stepped, Math.round((1000 * SIZE) / RATE_HZ))).toBeLessThan(-100);
  });

  test('starts at time zero without losing a corner', () => {
    const atZero = waveform([0, 0], [0.0001, 5], [0.001, 5], [0.0011, 0]);
    expect(errorDb(atZero, 30)).toBeLessThan(-60);
  });

  test('with samples before time zero keeps what the kernel has there, too', () => {
    const steps = waveform([0, 7], [0.0009, 7], [0.001, 0]);
    const lead = 3;
    const samples = sampled(steps, { lead });
    expect(Math.abs(samples[lead - 1]!)).toBeGreaterThan(0.1);
    // The same 100 samples later, where nothing can be lost.
    const later = { ...steps, timesSeconds: steps.timesSeconds.map(t => t + 100 / RATE_HZ) };
    const shifted = sampled(later).subarray(100 - lead, 200);
    shifted.forEach((value, n) => {
      expect(Math.abs(samples[n]! - value)).toBeLessThan(1e-9);
    });
  });

  test('in room that was used before is the same', () => {
    const scratch = new Float64Array(SIZE + 10).fill(3);
    expect(largestDifference(sampled(trapezoid, { scratch }), sampled(trapezoid))).toBe(0);
  });

  test('repeats are as many waveforms, a period apart', () => {
    const periodSeconds = 0.0171234;
    const twice = sampled(trapezoid, { count: 2, periodSeconds });
    const first = sampled(trapezoid);
    const later = {
      timesSeconds: trapezoid.timesSeconds.map(t => t + periodSeconds),
      amplitudes: trapezoid.amplitudes,
    };
    const second = sampled(later);
    twice.forEach((value, n) => {
      expect(Math.abs(value - first[n]! - second[n]!)).toBeLessThan(1e-9);
    });
  });

  test('a long quiet stretch after a train stays quiet', () => {
    const points = Array.from({ length: 400 }, (_, i): readonly [number, number][] => [
      [0.0005 + i * 0.00058, 0],
      [0.0006 + i * 0.00058, i % 2 === 0 ? 26 : -26],
      [0.00095 + i * 0.00058, i % 2 === 0 ? 26 : -26],
    ]).flat();
    const train = waveform(...points, [0.0005 + 400 * 0.00058, 0]);
    const tail = sampled(train, { length: 200_000 }).subarray(12_000);
    expect(tail.reduce((max, x) => Math.max(max, Math.abs(x)), 0)).toBeLessThan(1e-6);
  });
});

/**
 * A trapezoid's two ramps push in opposite directions, so a length between ramp middles of D cancels
 * n/D (Segbers et al., Magn Reson Med 2010;64:546; D = 1 ms gives 1000 and 2000 Hz).
 */
test('a trapezoid 1 ms long between the middles of its ramps has nulls at 1000 and 2000 Hz within 0.5 %', () => {
  const shape = waveform([0.01, 0], [0.0102, 10], [0.011, 10], [0.0112, 0]);
  const samples = sampled(shape, { length: 2 ** 17 });
  const spectrum = realSpectrum(samples);
  const power = (bin: number): number => spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2;
  for (const null_ of [1000, 2000]) {
    let lowest = Math.round((0.9 * null_ * 2 ** 17) / RATE_HZ);
    for (let bin = lowest; bin < (1.1 * null_ * 2 ** 17) / RATE_HZ; bin++) {
      if (power(bin) < power(lowest)) lowest = bin;
    }
    expect(Math.abs((lowest * RATE_HZ) / 2 ** 17 / null_ - 1)).toBeLessThan(0.005);
  }
});
