/** Suddenness of onsets: what follows from its definition, on sounds whose level is known. */
import { describe, expect, test } from 'vitest';
import { onsetSuddenness, type Suddenness } from '../../src/levels/onset-suddenness.js';
import { soundOf } from '../../src/signal/sound.js';
import { tonePa } from '../helpers/pressures.js';
import { join, silence } from '../helpers/signals.js';

const SAMPLE_RATE_HZ = 44_100;

const tone = (levelDb: number, seconds: number): Float64Array =>
  tonePa(1000, levelDb, seconds, SAMPLE_RATE_HZ);

const quiet = (seconds: number): Float64Array => silence(seconds, SAMPLE_RATE_HZ);

const suddennessOf = (...parts: readonly Float64Array[]): Suddenness =>
  onsetSuddenness(soundOf(join(...parts), SAMPLE_RATE_HZ));

/** Raised from nothing as a raised cosine. */
const fadedIn = (samples: Float64Array, seconds: number): Float64Array =>
  samples.map((x, i) => {
    const part = Math.min(1, (i + 0.5) / (seconds * SAMPLE_RATE_HZ));
    return x * (0.5 - 0.5 * Math.cos(Math.PI * part));
  });

describe('the start of a sound', () => {
  test('out of the quiet of 30 dB(A) is as sudden as the sound is above it', () => {
    const { startDb, laterDb, onsets } = suddennessOf(tone(60, 1));
    expect(startDb).toBeCloseTo(30, 1);
    expect(laterDb).toBeLessThan(0.5);
    expect(onsets).toHaveLength(1);
    expect(onsets[0]!.timeSeconds).toBeLessThanOrEqual(0.05);
    expect(onsets[0]!.riseDb).toBe(startDb);
  });

  test('is measured A-weighted: 100 Hz counts 19.1 dB less than 1 kHz', () => {
    // IEC 61672-1:2013, table 3.
    const low = onsetSuddenness(soundOf(tonePa(100, 70, 0.5, SAMPLE_RATE_HZ), SAMPLE_RATE_HZ));
    expect(low.startDb).toBeCloseTo(70 - 19.1 - 30, 0);
  });

  test('is the less sudden the longer its fade', () => {
    const rises = [0.001, 0.05, 0.2, 0.5, 1, 3].map(seconds => {
      const { startDb, laterDb } = suddennessOf(fadedIn(tone(60, 4), seconds));
      return Math.max(startDb, laterDb);
    });
    for (let i = 1; i < rises.length; i++) expect(rises[i]).toBeLessThanOrEqual(rises[i - 1]!);
    expect(rises[0]).toBeGreaterThan(29);
    expect(rises.at(-1)).toBeLessThan(5);
  });

  test('below the quiet is no start at all', () => {
    expect(suddennessOf(tone(25, 0.5))).toEqual({ onsets: [], startDb: 0, laterDb: 0 });
  });
});

describe('what starts later', () => {
  test('is found where it starts, each by itself', () => {
    const { onsets, laterDb } = suddennessOf(
      quiet(0.3),
      tone(60, 0.2),
      quiet(0.3),
      tone(50, 0.2),
      quiet(0.3),
    );
    expect(onsets).toHaveLength(2);
    expect(onsets[0]!.riseDb).toBeCloseTo(30, 1);
    expect(onsets[1]!.riseDb).toBeCloseTo(20, 1);
    for (const [onset, startSeconds] of [
      [onsets[0]!, 0.3],
      [onsets[1]!, 0.8],
    ] as const) {
      expect(onset.timeSeconds).toBeGreaterThan(startSeconds);
      expect(onset.timeSeconds).toBeLessThan(startSeconds + 0.05);
    }
    expect(laterDb).toBeCloseTo(30, 1);
  });

  test('counts from the sound before it, and is no onset below 10 dB', () => {
    const louder = suddennessOf(tone(50, 0.5), tone(65, 0.5));
    expect(louder.laterDb).toBeCloseTo(15, 1);
    expect(louder.onsets).toHaveLength(2);
    const little = suddennessOf(tone(50, 0.5), tone(58, 0.5));
    expect(little.laterDb).toBeCloseTo(8, 1);
    expect(little.onsets).toHaveLength(1);
  });

  test('within 50 ms of a sound counts from the gap, however short it is', () => {
    const { laterDb } = suddennessOf(tone(60, 0.5), quiet(0.015), tone(60, 0.5));
    expect(laterDb).toBeGreaterThan(20);
  });
});

test('the same comes out of blocks of any size', () => {
  const samples = join(quiet(0.1), tone(60, 0.3));
  const pieces = [samples.subarray(0, 1), samples.subarray(1, 7000), samples.subarray(7000)];
  const cut = { sampleRateHz: SAMPLE_RATE_HZ, length: samples.length, blocks: () => pieces };
  expect(onsetSuddenness(cut).onsets[0]!.riseDb).toBeCloseTo(
    suddennessOf(samples).onsets[0]!.riseDb,
    9,
  );
});

test('a sample rate that the meter does not take is refused', () => {
  expect(() => onsetSuddenness(soundOf(quiet(0.1), 7999))).toThrow(
    new RangeError('sampleRateHz must be between 8000 and 192000 Hz, got 7999'),
  );
});

test('no samples have no onset', () => {
  expect(suddennessOf(quiet(0))).toEqual({ onsets: [], startDb: 0, laterDb: 0 });
});
