/** The cue. */
import { describe, expect, test } from 'vitest';
import { cue } from '../../../src/kit/audio/cue.js';
import { realSpectrum } from '../../../src/signal/fft.js';
import { collect, SAMPLE_RATE_HZ } from '../../../src/signal/sound.js';

/** Frequency of the strongest line in a stretch, in Hz. */
function strongestHz(samples: Float64Array): number {
  const size = 2 ** 15;
  const padded = new Float64Array(size);
  padded.set(samples.subarray(0, size));
  const spectrum = realSpectrum(padded);
  let best = 0;
  let power = 0;
  for (let bin = 1; bin < size / 2; bin++) {
    const here = spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2;
    if (here > power) [best, power] = [bin, here];
  }
  return (best * SAMPLE_RATE_HZ) / size;
}

describe.each([
  ['rising', 587, 784],
  ['falling', 784, 587],
] as const)('a %s cue', (direction, first, second) => {
  const samples = collect(cue(direction, 0.8));

  test('has its notes in that order', () => {
    const half = Math.round(0.32 * SAMPLE_RATE_HZ);
    expect(Math.abs(strongestHz(samples.subarray(0, half)) - first)).toBeLessThan(8);
    expect(Math.abs(strongestHz(samples.subarray(half)) - second)).toBeLessThan(8);
  });

  test('begins and ends softly: no fade shorter than 50 ms', () => {
    const peak = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    const loudest = (fromSeconds: number, toSeconds: number): number =>
      samples
        .subarray(Math.round(fromSeconds * SAMPLE_RATE_HZ), Math.round(toSeconds * SAMPLE_RATE_HZ))
        .reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    expect(loudest(0, 0.01)).toBeLessThan(0.1 * peak);
    expect(loudest(0, 0.025)).toBeLessThan(0.5 * peak);
    expect(loudest(0.79, 0.8)).toBeLessThan(0.02 * peak);
  });
});
