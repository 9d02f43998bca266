/** Change of the sample rate, against sines in closed form and ffmpeg's resampler. */
import { describe, expect, test } from 'vitest';
import { resample } from '../../src/signal/resample.js';
import { largestDifference, sine } from '../helpers/signals.js';
import { ffmpeg } from '../helpers/ffmpeg.js';
import { floatWav } from '../helpers/wav-bytes.js';

const TO = 44_100;

/** Without the ends, where the sines begin and end suddenly. */
const middle = (samples: Float64Array): Float64Array =>
  samples.subarray(Math.round(0.05 * TO), Math.round(0.15 * TO));

describe.each([8000, 16_000, 22_050, 32_000, 44_099, 48_000, 96_000, 192_000])(
  'from %d Hz to 44 100 Hz',
  fromHz => {
    test.each([0.001, 0.1, 0.25, 0.4, 0.45])(
      'a sine at %d of the lower rate stays one, in time and level',
      share => {
        const hertz = share * Math.min(fromHz, TO);
        const result = resample(sine(hertz, 0.2, fromHz), fromHz, TO);
        expect(result).toHaveLength(Math.ceil((Math.round(0.2 * fromHz) * TO) / fromHz));
        // 0.001: 60 dB below the sine.
        const wanted = sine(hertz, 0.2, TO);
        expect(largestDifference(middle(result), middle(wanted))).toBeLessThan(0.001);
      },
    );
  },
);

test('what is above half the new rate does not fold back: 80 dB down at least', () => {
  for (const hertz of [22_400, 23_000, 30_000, 40_000]) {
    const result = middle(resample(sine(hertz, 0.2, 96_000), 96_000, TO));
    expect(Math.max(...result.map(Math.abs))).toBeLessThan(1e-4);
  }
});

test('speech-band sound is as ffmpeg resamples it', () => {
  const from = sine(440, 0.5, 48_000).map((x, i) => 0.4 * x + 0.3 * Math.sin(i ** 1.1 / 9));
  const own = resample(from, 48_000, TO);
  const { stdout } = ffmpeg(floatWav([from], 48_000), [
    '-af', 'aresample=resampler=swr:filter_size=256:phase_shift=14:cutoff=0.96',
    '-ar', String(TO), '-f', 'f32le', 'pipe:1',
  ]); // prettier-ignore
  const theirs = new Float32Array(
    stdout.buffer.slice(stdout.byteOffset, stdout.byteOffset + stdout.length),
  );
  expect(Math.abs(theirs.length - own.length)).toBeLessThanOrEqual(1);
  const [a, b] = [own, Float64Array.from(theirs)].map(x => x.subarray(2000, 20_000));
  expect(largestDifference(a!, b!)).toBeLessThan(0.001);
});

test('the same rate changes nothing', () => {
  const samples = sine(100, 0.01, TO);
  expect(resample(samples, TO, TO)).toEqual(samples);
});

test.each([0, 44_100.5, Number.NaN])('a rate of %d is refused', rate => {
  expect(() => resample(new Float64Array(10), rate, TO)).toThrow(RangeError);
});
