/** A gradient that is on across the border of two segments sounds as if there were no border. */
import { expect, test } from 'vitest';
import { continuedWaveform } from '../../src/acoustics/continued-waveform.js';
import type { Listening } from '../../src/acoustics/listening.js';
import { synthesiser } from '../../src/acoustics/synthesise.js';
import type { Segment, Waveform } from '../../src/gradients/timeline.js';
import { collect } from '../../src/signal/sound.js';
import { library } from '../helpers/study.js';

const listening: Listening = {
  response: library.responses.get('generic-3t')!,
  fieldStrength: 3,
  protection: undefined,
};

const waveform = (
  ...corners: readonly (readonly [timeSeconds: number, amplitude: number])[]
): Waveform => ({
  timesSeconds: Float64Array.from(corners, ([timeSeconds]) => timeSeconds),
  amplitudes: Float64Array.from(corners, ([, amplitude]) => amplitude),
});

const once = (durationSeconds: number, x: Waveform): Segment => ({
  durationSeconds,
  repeats: 1,
  layers: [{ block: { x }, gain: 1 }],
});

const render = (...segments: readonly Segment[]): Float64Array =>
  collect(synthesiser(listening).sound({ segments }));

const rms = (samples: Float64Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

/** A lobe, then 20 mT/m for a second, on which a little step rides. */
const WHOLE = [
  [0.1, 0],
  [0.11, 20],
  [0.6, 20],
  [0.6002, 20.5],
  [1.1, 20.5],
  [1.11, 0],
] as const;

/** Where it is cut, in s: a fraction of a sample beside the raster of 44.1 kHz. */
const CUT_SECONDS = 0.45000777;

test('cut between samples, the cut is 40 dB below a step of a fortieth of the gradient', () => {
  const cut = [
    once(CUT_SECONDS, waveform(WHOLE[0], WHOLE[1], [CUT_SECONDS, 20])),
    once(
      1.3 - CUT_SECONDS,
      waveform([0, 20], ...WHOLE.slice(2).map(([t, a]) => [t - CUT_SECONDS, a] as const)),
    ),
  ];
  const whole = render(once(1.3, waveform(...WHOLE)));
  const parts = render(...cut);
  const between = (fromSeconds: number, toSeconds: number) => (samples: Float64Array) =>
    samples.subarray(Math.round(fromSeconds * 44_100), Math.round(toSeconds * 44_100));
  // The step itself may come up to half a sample early or late; the cut must not be heard.
  const step = rms(between(0.59, 0.7)(whole));
  const aroundCut = between(0.43, 0.59);
  const heard = aroundCut(parts).map((x, n) => x - aroundCut(whole)[n]!);
  expect(step).toBeGreaterThan(1e-4);
  expect(20 * Math.log10(rms(heard) / step)).toBeLessThan(-40);
});

test('a gradient that is always on is silent, however its segments lie on the samples', () => {
  const on = { x: waveform([0, 15], [0.50000421, 15]) };
  const segments = Array.from({ length: 6 }, (): Segment => ({
    durationSeconds: 0.50000421,
    repeats: 1,
    layers: [{ block: on, gain: 1 }],
  }));
  const samples = render(...segments);
  const lobe = rms(render(once(0.5, waveform([0.1, 0], [0.1001, 15], [0.2, 15], [0.2001, 0]))));
  expect(rms(samples.subarray(44_100, 2 * 44_100)) / lobe).toBeLessThan(3e-4);
});

test('what starts and ends at zero stays as it is', () => {
  const lobe = waveform([0, 0], [0.001, 10], [0.002, 0]);
  expect(continuedWaveform(lobe, 0.002)).toBe(lobe);
  const inside = waveform([0.001, 5], [0.002, 5]);
  expect(continuedWaveform(inside, 0.01)).toBe(inside);
});
