/** Sounds made dull and even. */
import { describe, expect, test } from 'vitest';
import { rankSounds } from '../../src/levels/gentleness.js';
import { roughness } from '../../src/levels/roughness.js';
import { softenSound } from '../../src/signal/soften.js';
import { collect, SAMPLE_RATE_HZ, type Sound, soundOf } from '../../src/signal/sound.js';
import { largestDifference } from '../helpers/signals.js';

const make = (durationSeconds: number, pressure: (t: number) => number): Sound =>
  soundOf(
    Float64Array.from({ length: Math.round(durationSeconds * SAMPLE_RATE_HZ) }, (_, i) =>
      pressure(i / SAMPLE_RATE_HZ),
    ),
  );

const rms = (samples: Float64Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

const tone = (hertz: number): Sound => make(1, t => Math.sin(2 * Math.PI * hertz * t));

/** An amplitude-modulated tone as roughness is defined by: 1 kHz, 70 Hz, all of it (1 asper at 60 dB). */
const rough = make(
  1.5,
  t => 0.02 * (1 + Math.sin(2 * Math.PI * 70 * t)) * Math.sin(2 * Math.PI * 1000 * t),
);

const thumps = make(3, t => {
  const since = t % 0.5;
  return 0.1 * Math.exp(-since / 0.03) * Math.sin(2 * Math.PI * 500 * since);
});

describe('the low-pass', () => {
  // Butterworth, order 2: 1 / sqrt(1 + (f / fc)^4); with the warping of the bilinear transform.
  test.each([
    [100, 0],
    [1000, -3.01],
    [4000, -24.4],
  ])('takes %d Hz down by %d dB', (hertz, expectedDb) => {
    const soft = softenSound(tone(hertz), { lowPassHertz: 1000, modulationShare: 1 });
    const settled = collect(soft).subarray(SAMPLE_RATE_HZ / 2);
    const measuredDb = 20 * Math.log10(rms(settled) * Math.SQRT2);
    expect(Math.abs(measuredDb - expectedDb)).toBeLessThan(0.3);
  });
});

describe('the evened rhythm', () => {
  test('halves the roughness and more, and leaves a steady tone as it is', () => {
    const soft = softenSound(rough, { lowPassHertz: 15_000, modulationShare: 0.3 });
    expect(roughness(soft).meanAsper).toBeLessThan(0.5 * roughness(rough).meanAsper);

    const steady = collect(softenSound(tone(800), { lowPassHertz: 15_000, modulationShare: 0.3 }));
    const settled = steady.subarray(SAMPLE_RATE_HZ / 2);
    // The fast power ripples a little with a tone's own waves.
    expect(Math.abs(20 * Math.log10(rms(settled) * Math.SQRT2))).toBeLessThan(0.25);
  });

  test('makes thumps less sudden, and the whole gentler by its ranking', () => {
    const soft = softenSound(thumps, { lowPassHertz: 900, modulationShare: 0.3 });
    const ranked = rankSounds([
      { name: 'soft', sound: soft },
      { name: 'full', sound: thumps },
    ]);
    expect(ranked.map(({ name }) => name)).toEqual(['soft', 'full']);
    expect(ranked[0]!.laterDb).toBeLessThan(ranked[1]!.laterDb - 3);
  });
});

test('nothing is heard before the sound, and it is as long as before', () => {
  const silentFirst = make(0.4, t => (t < 0.2 ? 0 : Math.sin(2 * Math.PI * 700 * t)));
  const soft = collect(softenSound(silentFirst, { lowPassHertz: 900, modulationShare: 0.3 }));
  expect(soft).toHaveLength(silentFirst.length);
  expect(Math.max(...soft.subarray(0, Math.floor(0.2 * SAMPLE_RATE_HZ)).map(Math.abs))).toBe(0);
  expect(soft.every(Number.isFinite)).toBe(true);
});

test.each([0, 1, 50, 4411])('a sound of %d samples stays one', length => {
  const soft = softenSound(soundOf(new Float64Array(length).fill(0.1)), {
    lowPassHertz: 900,
    modulationShare: 0.3,
  });
  expect(collect(soft)).toHaveLength(length);
});

test('reading twice gives the same samples, whatever the blocks', () => {
  const whole = collect(thumps);
  const inBlocks: Sound = {
    ...thumps,
    *blocks() {
      for (let i = 0; i < whole.length; i += 997) yield whole.subarray(i, i + 997);
    },
  };
  const softening = { lowPassHertz: 900, modulationShare: 0.3 };
  const soft = softenSound(inBlocks, softening);
  expect(largestDifference(collect(soft), collect(soft))).toBe(0);
  expect(largestDifference(collect(soft), collect(softenSound(thumps, softening)))).toBe(0);
});
