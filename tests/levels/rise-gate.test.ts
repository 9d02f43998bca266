/** The gate on sudden loudness, on sounds whose levels and fades are known. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  aboveFadeDb,
  beginsAtSeconds,
  FASTEST_RISE_DB,
  HIGHEST_SHORT_DBA,
  largestRiseDb,
} from '../../src/levels/rise-gate.js';
import { shortMeanSquares } from '../../src/levels/short-levels.js';
import { pa2ToDbSpl } from '../../src/levels/sound-pressure.js';
import { shapeSound } from '../../src/signal/shape-sound.js';
import { SAMPLE_RATE_HZ, soundOf } from '../../src/signal/sound.js';
import { tonePa } from '../helpers/pressures.js';
import { join, silence } from '../helpers/signals.js';

const tone = (levelDb: number, seconds: number): Float64Array =>
  tonePa(1000, levelDb, seconds, SAMPLE_RATE_HZ);

const levelsOf = (samples: Float64Array): Float64Array =>
  shortMeanSquares(soundOf(samples)).map(pa2ToDbSpl);

/** A tone that its fade brings up from nothing. */
const fadedTone = (levelDb: number, onsetSeconds: number): Float64Array => {
  const faded = shapeSound(soundOf(tone(levelDb, 5)), {
    gain: 1,
    fadeInSeconds: onsetSeconds,
    fadeOutSeconds: 0,
  });
  return shortMeanSquares(faded).map(pa2ToDbSpl);
};

/** A 1 kHz tone's level over 10 ms ripples by less than this, in dB. */
const RIPPLE_DB = 0.1;

test('the limits: 45 dB within 50 ms, which out of a quiet room ends 5 dB below 80 dB(A)', () => {
  // 80 and 85 dB(A) are the levels near the threshold of startle in Blumenthal 1988 (abstract);
  // 30 dB(A) is the WHO guideline value for bedrooms (1999, table 4.1).
  expect(FASTEST_RISE_DB).toBe(45);
  expect(HIGHEST_SHORT_DBA).toBe(75);
});

describe('a rise', () => {
  test.each([
    [60, 30],
    [75, 45],
    [80, 50],
  ])('of a tone of %d dB(A) out of silence is %d dB', (levelDb, riseDb) => {
    const rise = largestRiseDb(levelsOf(join(silence(1, SAMPLE_RATE_HZ), tone(levelDb, 1))));
    expect(Math.abs(rise - riseDb)).toBeLessThan(RIPPLE_DB);
  });

  test('counts from what was heard in the 50 ms before', () => {
    const rise = largestRiseDb(levelsOf(join(fadeless(50), tone(70, 1))).subarray(500));
    expect(Math.abs(rise - 20)).toBeLessThan(0.5);
  });

  test('over a second is small, whatever it comes to', () => {
    expect(largestRiseDb(fadedTone(75, 1))).toBeLessThan(20);
    expect(largestRiseDb(fadedTone(75, 4))).toBeLessThan(8);
  });
});

/** A second of steady tone. */
const fadeless = (levelDb: number): Float64Array => tone(levelDb, 1);

describe('a start', () => {
  test('with its fade is never above what a fade lets through, whatever its level and onset', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 30, max: HIGHEST_SHORT_DBA, noNaN: true }),
        fc.constantFrom(0.05, 0.1, 0.3, 1, 4),
        (levelDb, onsetSeconds) => {
          expect(aboveFadeDb(fadedTone(levelDb, onsetSeconds), onsetSeconds)).toBeLessThan(
            RIPPLE_DB,
          );
        },
      ),
      { seed: 1, numRuns: 20 },
    );
  });

  test.each([
    ['without a fade', 0.0001, 0.05],
    ['with half its fade', 0.5, 1],
    ['with a tenth of its fade', 0.1, 1],
  ])('%s is found', (_what, hadSeconds, onsetSeconds) => {
    // As loud as a start may be; of a softer one only a shorter fade stands out.
    expect(aboveFadeDb(fadedTone(HIGHEST_SHORT_DBA, hadSeconds), onsetSeconds)).toBeGreaterThan(3);
  });

  test('that is louder than any may be is found, whatever its fade', () => {
    expect(aboveFadeDb(fadedTone(HIGHEST_SHORT_DBA + 2, 1), 1)).toBeGreaterThan(1.5);
  });

  test('is where a sound first comes within 10 dB of its highest level', () => {
    const click = tone(50, 0.02);
    const late = join(click, silence(0.9, SAMPLE_RATE_HZ), tone(72, 1));
    expect(beginsAtSeconds(levelsOf(late))).toBeCloseTo(0.92, 2);
    expect(
      beginsAtSeconds(levelsOf(join(tone(65, 0.02), silence(0.9, SAMPLE_RATE_HZ), tone(72, 1)))),
    ).toBe(0);
    expect(beginsAtSeconds(levelsOf(silence(1, SAMPLE_RATE_HZ)))).toBe(0);
  });
});
