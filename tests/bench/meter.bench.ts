/**
 * How much faster than the sound lasts the whole meter is, mono at 44.1 kHz on one core, beside ffmpeg
 * measuring less on one thread: 30 s at 500 times real time are 60 ms, or 16.7 runs a second. ffmpeg's
 * time includes its start and reading the file, which it does while it measures.
 */
import { rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { bench, describe } from 'vitest';
import { Meter } from '../../src/levels/meter.js';
import { seededRandom } from '../../src/signal/random.js';
import { ffmpegOn } from '../helpers/ffmpeg.js';
import { sine } from '../helpers/signals.js';
import { floatWav } from '../helpers/wav-bytes.js';

const RATE_HZ = 44_100;
const BLOCK = 16_384;

const random = seededRandom('bench');

/** A comb of 43.1 Hz under a hump at 860 Hz, as an echo-planar scan has. */
function scanLike(seconds: number): Float64Array {
  const samples = new Float64Array(seconds * RATE_HZ);
  for (let line = 1; line < 60; line++) {
    const hertz = 43.1 * line;
    const peak = 0.05 / (1 + ((hertz - 860) / 200) ** 2);
    const part = sine(hertz, seconds, RATE_HZ, { peak, phase: 2 * Math.PI * random.uniform() });
    for (let i = 0; i < samples.length; i++) samples[i]! += part[i]!;
  }
  return samples;
}

const noise = (seconds: number): Float64Array =>
  Float64Array.from({ length: seconds * RATE_HZ }, () => 0.1 * random.normal());

const SIGNALS = {
  '30 s of a scan-like comb': scanLike(30),
  '30 s of white noise': noise(30),
  '30 s of a steady sine': sine(1000, 30, RATE_HZ, { peak: 0.5 }),
  '10 min of white noise': noise(600),
};

function measure(samples: Float64Array, bands: boolean): void {
  const meter = new Meter({ sampleRateHz: RATE_HZ, bands });
  for (let from = 0; from < samples.length; from += BLOCK) {
    meter.push([samples.subarray(from, from + BLOCK)]);
  }
  meter.result();
}

const file = path.join(tmpdir(), `softknock-meter-bench-${process.pid}.wav`);

for (const [name, samples] of Object.entries(SIGNALS)) {
  const onFile = {
    setup: () => {
      writeFileSync(file, floatWav([samples], RATE_HZ));
    },
    teardown: () => {
      rmSync(file);
    },
  };
  describe(name, () => {
    bench('the whole meter', () => {
      measure(samples, true);
    });
    bench('the meter without third octaves', () => {
      measure(samples, false);
    });
    const ffmpegMeasures = (filter: string) => () => {
      ffmpegOn(file, ['-threads', '1', '-af', filter, '-f', 'null', '-']);
    };
    bench('ffmpeg, loudness and true peak alone', ffmpegMeasures('ebur128=peak=true'), onFile);
    bench('ffmpeg, loudness alone', ffmpegMeasures('ebur128'), onFile);
  });
}
