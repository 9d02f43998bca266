/**
 * How much faster than the sound lasts the whole meter is, mono at 44.1 kHz on one core, beside ffmpeg
 * measuring loudness and true peak alone. One run meters 30 s: 500 times real time is 60 ms, or 16.7 runs
 * a second. Noise and steady sines are the meter's hardest input, periodic sound like a scan's its usual.
 */
import { bench, describe } from 'vitest';
import { Meter } from '../../src/levels/meter.js';
import { seededRandom } from '../../src/signal/random.js';
import { sine } from '../helpers/signals.js';
import { floatWav } from '../helpers/wav-bytes.js';

const RATE_HZ = 44_100;
const SECONDS = 30;
const BLOCK = 16_384;

const random = seededRandom('bench');

/** A comb of 43.1 Hz under a hump at 860 Hz, as an echo-planar scan has. */
function scanLike(): Float64Array {
  const samples = new Float64Array(SECONDS * RATE_HZ);
  for (let line = 1; line < 60; line++) {
    const hertz = 43.1 * line;
    const peak = 0.05 / (1 + ((hertz - 860) / 200) ** 2);
    const part = sine(hertz, SECONDS, RATE_HZ, { peak, phase: 2 * Math.PI * random.uniform() });
    for (let i = 0; i < samples.length; i++) samples[i]! += part[i]!;
  }
  return samples;
}

const SIGNALS = {
  'a scan-like comb': scanLike(),
  'white noise': Float64Array.from({ length: SECONDS * RATE_HZ }, () => 0.1 * random.normal()),
  'a steady sine': sine(1000, SECONDS, RATE_HZ, { peak: 0.5 }),
};

function measure(samples: Float64Array, bands: boolean): void {
  const meter = new Meter({ sampleRateHz: RATE_HZ, bands });
  for (let from = 0; from < samples.length; from += BLOCK) {
    meter.push([samples.subarray(from, from + BLOCK)]);
  }
  meter.result();
}

const { ffmpeg } = await import('../helpers/ffmpeg.js');

for (const [name, samples] of Object.entries(SIGNALS)) {
  const file = floatWav([samples], RATE_HZ);
  describe(`${SECONDS} s of ${name}`, () => {
    bench('the whole meter', () => {
      measure(samples, true);
    });
    bench('the meter without third octaves', () => {
      measure(samples, false);
    });
    bench('ffmpeg, loudness and true peak alone (with its start and reading the file)', () => {
      ffmpeg(file, ['-threads', '1', '-af', 'ebur128=peak=true', '-f', 'null', '-']);
    });
    bench('ffmpeg, loudness alone (with its start and reading the file)', () => {
      ffmpeg(file, ['-threads', '1', '-af', 'ebur128', '-f', 'null', '-']);
    });
  });
}
