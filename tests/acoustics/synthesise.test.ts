/** Synthesis: linear, causal, tiled without shifting a line, and flat in memory. */
import { describe, expect, test } from 'vitest';
import type { Listening } from '../../src/acoustics/listening.js';
import { synthesiser } from '../../src/acoustics/synthesise.js';
import { evenDirections } from '../../src/gradients/directions.js';
import type { GradientBlock, Timeline } from '../../src/gradients/timeline.js';
import { collect } from '../../src/signal/sound.js';
import { library } from '../helpers/study.js';
import { lineSpectrum, strongestLine } from '../helpers/lines.js';

const listening: Listening = {
  response: library.responses.get('generic-3t')!,
  fieldStrength: 3,
  protection: undefined,
};

const trapezoid = (
  startSeconds: number,
  amplitude: number,
  lengthSeconds = 0.001,
): GradientBlock['x'] & object => ({
  timesSeconds: Float64Array.of(
    startSeconds,
    startSeconds + 0.0002,
    startSeconds + lengthSeconds,
    startSeconds + lengthSeconds + 0.0002,
  ),
  amplitudes: Float64Array.of(0, amplitude, amplitude, 0),
});

const once = (block: GradientBlock, durationSeconds = 0.5): Timeline => ({
  segments: [{ durationSeconds, repeats: 1, layers: [{ block, gain: 1 }] }],
});

const render = (timeline: Timeline, where: Listening = listening): Float64Array =>
  collect(synthesiser(where).sound(timeline));

const rms = (samples: Float64Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

const difference = (a: Float64Array, b: Float64Array): Float64Array => {
  expect(a).toHaveLength(b.length);
  return a.map((x, n) => x - b[n]!);
};

const dbBelow = (error: Float64Array, whole: Float64Array): number =>
  20 * Math.log10(rms(error) / rms(whole));

const isSame = (a: Float64Array, b: Float64Array): boolean =>
  a.length === b.length && a.every((x, n) => x === b[n]);

test('a gradient that rises from the first moment sounds as it does later, and its sound ends as it does later', () => {
  const rising = (fromSeconds: number) => ({
    timesSeconds: Float64Array.of(
      fromSeconds,
      fromSeconds + 2e-5,
      fromSeconds + 0.003,
      fromSeconds + 0.0032,
    ),
    amplitudes: Float64Array.of(0, 10, 10, 0),
  });
  const atOnce = render(once({ x: rising(0) }, 0.3));
  const later = render(once({ x: rising(0.1) }, 0.4)).subarray(4410);
  expect(dbBelow(difference(atOnce, later), later)).toBeLessThan(-120);
});

describe('linearity', () => {
  test('the sound of x and the sound of y add up to the sound of both within -90 dB', () => {
    const x = trapezoid(0.1, 20);
    const y = trapezoid(0.13, -15, 0.003);
    const ofY = render(once({ y }));
    const sum = render(once({ x })).map((value, n) => value + ofY[n]!);
    const both = render(once({ x, y }));
    expect(dbBelow(difference(sum, both), both)).toBeLessThan(-90);
  });

  test('twice the amplitude, and twice the field, are 6.02 dB more', () => {
    const single = rms(render(once({ z: trapezoid(0.1, 10) })));
    const double = rms(render(once({ z: trapezoid(0.1, 20) })));
    const field = rms(render(once({ z: trapezoid(0.1, 10) }), { ...listening, fieldStrength: 6 }));
    expect(20 * Math.log10(double / single)).toBeCloseTo(6.0206, 3);
    expect(20 * Math.log10(field / single)).toBeCloseTo(6.0206, 3);
  });

  test('layers add with their gains', () => {
    const x = { x: trapezoid(0.05, 10) };
    const y = { y: trapezoid(0.07, 10) };
    const layered = render({
      segments: [
        {
          durationSeconds: 0.5,
          repeats: 1,
          layers: [
            { block: x, gain: 0.5 },
            { block: y, gain: -2 },
          ],
        },
      ],
    });
    const [ofX, ofY] = [render(once(x)), render(once(y))];
    const expected = ofX.map((value, n) => 0.5 * value - 2 * ofY[n]!);
    expect(dbBelow(difference(layered, expected), expected)).toBeLessThan(-120);
  });
});

describe('time', () => {
  test('nothing is heard before the gradient moves', () => {
    for (const protection of [undefined, library.protections.get('plugs-and-muffs')]) {
      const samples = render(once({ x: trapezoid(0.2, 20) }), { ...listening, protection });
      const before = samples.subarray(0, Math.round(0.199 * 44_100));
      const after = samples.subarray(Math.round(0.2 * 44_100));
      expect(dbBelow(before, after)).toBeLessThan(-60);
    }
  });

  test('the last ringing is over 90 dB down when a piece ends', () => {
    const samples = render(once({ x: trapezoid(0.01, 20), z: trapezoid(0.01, 20) }, 0.36));
    expect(dbBelow(samples.subarray(-400), samples.subarray(400, 2000))).toBeLessThan(-90);
  });

  test.each([0.003153, 0.0801237, 0.7])(
    'tiling a period of %d s equals rendering all repeats at once, to a fraction of a sample',
    periodSeconds => {
      const block = { x: trapezoid(0.0003, 20, 0.0011), z: trapezoid(0.0012, 9, 0.0012) };
      const repeats = Math.ceil(2 / periodSeconds);
      const tiled = render({
        segments: [{ durationSeconds: periodSeconds, repeats, layers: [{ block, gain: 1 }] }],
      });
      // The same as one long block with every corner written out.
      const written = (axis: 'x' | 'z'): GradientBlock['x'] & object => ({
        timesSeconds: Float64Array.from(
          Array.from({ length: repeats }, (_, i) =>
            [...block[axis].timesSeconds].map(t => t + i * periodSeconds),
          ).flat(),
        ),
        amplitudes: Float64Array.from(
          Array.from({ length: repeats }, () => [...block[axis].amplitudes]).flat(),
        ),
      });
      const whole = render(once({ x: written('x'), z: written('z') }, repeats * periodSeconds));
      // Tiling may shift a repeat by 20 ppm of the piece's length: 0.3 samples at most here.
      expect(dbBelow(difference(tiled, whole), whole)).toBeLessThan(-26);
      // Its lines do not move: the strongest one lies where a multiple of the rate does, to 0.01 %.
      const line = strongestLine(lineSpectrum(tiled, 44_100), 400, 3000).hertz * periodSeconds;
      if (periodSeconds < 0.1) expect(Math.abs(line / Math.round(line) - 1)).toBeLessThan(1e-4);
    },
  );

  test('a sound is as long as its timeline, or as asked, and the same every time it is read', () => {
    const timeline: Timeline = {
      segments: evenDirections(5).map(([gain]) => ({
        durationSeconds: 0.1301,
        repeats: 3,
        layers: [{ block: { x: trapezoid(0.01, 20) }, gain }],
      })),
    };
    const sound = synthesiser(listening).sound(timeline);
    expect(sound.length).toBe(Math.round(5 * 3 * 0.1301 * 44_100));
    expect(isSame(collect(sound), collect(sound))).toBe(true);
    const short = synthesiser(listening).sound(timeline, 1);
    expect(short.length).toBe(44_100);
    expect(isSame(collect(short), collect(sound).subarray(0, 44_100))).toBe(true);
  });

  test('memory stays flat: a scan of ten minutes comes in blocks of a few seconds', () => {
    const timeline: Timeline = {
      segments: [
        {
          durationSeconds: 0.08,
          repeats: 7500,
          layers: [{ block: { x: trapezoid(0.01, 20) }, gain: 1 }],
        },
      ],
    };
    let longest = 0;
    let total = 0;
    for (const block of synthesiser(listening).sound(timeline).blocks()) {
      longest = Math.max(longest, block.length);
      total += block.length;
    }
    expect(total).toBe(600 * 44_100);
    expect(longest).toBeLessThanOrEqual(10 * 44_100);
  });
});

test('a timeline without gradients is silent, and no sample is NaN', () => {
  const samples = render({ segments: [{ durationSeconds: 1, repeats: 2, layers: [] }] });
  expect(samples).toHaveLength(88_200);
  expect(samples.every(x => x === 0)).toBe(true);
});
