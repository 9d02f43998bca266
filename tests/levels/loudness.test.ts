/**
 * Loudness against ITU-R BS.1770 and the minimum requirement signals of EBU Tech 3341 (2023) and 3342, as
 * far as they can be made by formula: 7, 8 of the one and 5, 6 of the other are recordings.
 *
 * Signals and tolerances are those printed in the two documents, taken from public test suites that quote
 * them; rows 10 to 14, 17 and 18 from memory, where they agree with an independent meter of ours.
 */
import { describe, expect, test } from 'vitest';
import { kWeightingSections } from '../../src/levels/k-weighting.js';
import type { Levels } from '../../src/levels/levels.js';
import { Meter } from '../../src/levels/meter.js';
import { gainDb } from '../../src/signal/biquad.js';
import { faded, join, sine } from '../helpers/signals.js';

const RATE_HZ = 48_000;

/** Tech 3341: loudness +/- 0.1 LU, true peak +0.2 / -0.4 dB. Tech 3342: +/- 1 LU. */
const LOUDNESS_LU = 0.1;
const PEAK_HIGH_DB = 0.2;
const PEAK_LOW_DB = 0.4;
const RANGE_LU = 1;

function measure(channels: readonly Float64Array[], sampleRateHz = RATE_HZ): Levels {
  const meter = new Meter({ sampleRateHz, channels: channels.length, bands: false });
  meter.push(channels);
  return meter.result();
}

/** A stereo 1 kHz sine in steps: seconds and peak level in dB re full scale, -Infinity for silence. */
function steps(...parts: readonly (readonly [seconds: number, peakDb: number])[]): Levels {
  const tone = join(
    ...parts.map(([seconds, peakDb]) =>
      sine(1000, seconds, RATE_HZ, { peak: 10 ** (peakDb / 20) }),
    ),
  );
  return measure([tone, tone]);
}

function expectLoudness(lufs: number, expectedLufs: number): void {
  expect(Math.abs(lufs - expectedLufs), `${lufs} LUFS`).toBeLessThanOrEqual(LOUDNESS_LU);
}

describe('K-weighting', () => {
  test('has the coefficients that BS.1770 prints for 48 kHz', () => {
    const [shelf, highPass] = kWeightingSections(RATE_HZ);
    expect(shelf.b0).toBeCloseTo(1.53512485958697, 10);
    expect(shelf.b1).toBeCloseTo(-2.69169618940638, 10);
    expect(shelf.b2).toBeCloseTo(1.19839281085285, 10);
    expect(shelf.a1).toBeCloseTo(-1.69065929318241, 10);
    expect(shelf.a2).toBeCloseTo(0.73248077421585, 10);
    expect(highPass.a1).toBeCloseTo(-1.99004745483398, 10);
    expect(highPass.a2).toBeCloseTo(0.99007225036621, 10);
  });

  // Gains of the printed filter, computed from those coefficients.
  test.each([
    [100, -1.1335],
    [1000, 0.6977],
    [2000, 3.0713],
    [10_000, 4.0419],
  ])('at %d Hz is %f dB at 48 kHz, and within 0.1 dB of it at 44.1 and 96 kHz', (hertz, db) => {
    expect(gainDb(kWeightingSections(48_000), hertz, 48_000)).toBeCloseTo(db, 3);
    for (const rate of [44_100, 96_000]) {
      expect(Math.abs(gainDb(kWeightingSections(rate), hertz, rate) - db)).toBeLessThan(0.1);
    }
  });

  test('a full-scale 997 Hz sine in one channel is -3.01 LKFS (BS.1770, Annex 1)', () => {
    expectLoudness(measure([sine(997, 5, RATE_HZ)]).integratedLufs, -3.01);
  });
});

/** Cases 10, 11, 13 and 14 are twenty files each. */
const TWENTY = Array.from({ length: 20 }, (_, i) => i);

describe('Tech 3341, loudness', () => {
  test.each([
    [1, -23],
    [2, -33],
  ])(
    'case %d: a steady tone of %d has that momentary, short-term and integrated loudness',
    (_, db) => {
      const levels = steps([20, db]);
      expectLoudness(levels.maxMomentaryLufs, db);
      expectLoudness(levels.maxShortTermLufs, db);
      expectLoudness(levels.integratedLufs, db);
    },
  );

  test.each([
    [
      3,
      [
        [10, -36],
        [60, -23],
        [10, -36],
      ],
    ],
    [
      4,
      [
        [10, -72],
        [10, -36],
        [60, -23],
        [10, -36],
        [10, -72],
      ],
    ],
    [
      5,
      [
        [20, -26],
        [20.1, -20],
        [20, -26],
      ],
    ],
  ] as const)('case %d: gating leaves -23 LUFS', (_, parts) => {
    expectLoudness(steps(...parts).integratedLufs, -23);
  });

  test('case 6: five channels, the rear ones weighted 1.41', () => {
    const channels = [-28, -28, -24, -30, -30].map(db =>
      sine(1000, 20, RATE_HZ, { peak: 10 ** (db / 20) }),
    );
    expectLoudness(measure(channels).integratedLufs, -23);
    // The same with a loud channel for low frequencies, which does not count.
    const withLow = [...channels.slice(0, 3), sine(1000, 20, RATE_HZ), ...channels.slice(3)];
    expectLoudness(measure(withLow).integratedLufs, -23);
  });

  test('case 9: short-term is -23 LUFS over a rhythm of 3 s', () => {
    const rhythm = Array.from(
      { length: 5 },
      () =>
        [
          [1.34, -20],
          [1.66, -30],
        ] as const,
    ).flat();
    expectLoudness(steps(...rhythm).maxShortTermLufs, -23);
  });

  test.each(TWENTY)(
    'case 10 and 11, file %d: 3 s of tone are found whole wherever they begin',
    i => {
      expectLoudness(steps([i * 0.15, -Infinity], [3, -23], [1, -Infinity]).maxShortTermLufs, -23);
      expectLoudness(
        steps([i * 0.15, -Infinity], [3, i - 38], [1, -Infinity]).maxShortTermLufs,
        i - 38,
      );
    },
  );

  test('case 12: momentary is -23 LUFS over a rhythm of 0.4 s', () => {
    const rhythm = Array.from(
      { length: 25 },
      () =>
        [
          [0.18, -20],
          [0.22, -30],
        ] as const,
    ).flat();
    expectLoudness(steps(...rhythm).maxMomentaryLufs, -23);
  });

  test.each(TWENTY)(
    'case 13 and 14, file %d: 0.4 s of tone are found whole wherever they begin',
    i => {
      expectLoudness(
        steps([i * 0.02, -Infinity], [0.4, -23], [1, -Infinity]).maxMomentaryLufs,
        -23,
      );
      expectLoudness(
        steps([i * 0.02, -Infinity], [0.4, i - 38], [1, -Infinity]).maxMomentaryLufs,
        i - 38,
      );
    },
  );
});

describe('Tech 3341, true peak', () => {
  /** As the document asks, so that the ends of the tone add nothing. */
  const FADE_SECONDS = 0.05;

  const expectPeak = (samples: Float64Array, expectedDbtp: number): void => {
    const { truePeakDbtp } = measure([samples]);
    expect(truePeakDbtp - expectedDbtp).toBeLessThanOrEqual(PEAK_HIGH_DB);
    expect(truePeakDbtp - expectedDbtp).toBeGreaterThanOrEqual(-PEAK_LOW_DB);
  };

  test.each([
    [15, 4, 0, 0.5, -6],
    [16, 4, 45, 0.5, -6],
    [17, 6, 60, 0.5, -6],
    [18, 8, 67.5, 0.5, -6],
    [19, 4, 45, 1.41, 3],
  ])(
    'case %d: fs/%d at %f degrees, amplitude %f, peaks at %d dBTP',
    (_, divisor, degrees, peak, dbtp) => {
      const phase = (degrees * Math.PI) / 180;
      expectPeak(
        faded(sine(RATE_HZ / divisor, 1, RATE_HZ, { peak, phase }), FADE_SECONDS, RATE_HZ),
        dbtp,
      );
    },
  );

  test.each([
    [20, 0],
    [21, 1],
    [22, 2],
    [23, 3],
  ])(
    'case %d: a tone peaking at 0 dBTP between samples, decimated by four from sample %d',
    (_, offset) => {
      // A burst of fs/6 at 45 degrees around a sample of the high rate, as the document draws it.
      const fine = sine(RATE_HZ / 6, 1, 4 * RATE_HZ, { phase: Math.PI / 4 });
      expectPeak(
        faded(
          fine.filter((__, i) => i % 4 === offset),
          FADE_SECONDS,
          RATE_HZ,
        ),
        0,
      );
    },
  );
});

describe('Tech 3342, loudness range', () => {
  test.each([
    [
      1,
      10,
      [
        [20, -20],
        [20, -30],
      ],
    ],
    [
      2,
      5,
      [
        [20, -20],
        [20, -15],
      ],
    ],
    [
      3,
      20,
      [
        [20, -40],
        [20, -20],
      ],
    ],
    [
      4,
      15,
      [
        [20, -50],
        [20, -35],
        [20, -20],
        [20, -35],
        [20, -50],
      ],
    ],
  ] as const)('case %d is %d LU', (_, expectedLu, parts) => {
    expect(Math.abs(steps(...parts).loudnessRangeLu - expectedLu)).toBeLessThanOrEqual(RANGE_LU);
  });
});

describe('sounds without a loudness', () => {
  test('shorter than a window, there is none over that window', () => {
    const levels = measure([sine(1000, 0.39, RATE_HZ)]);
    expect(levels.maxMomentaryLufs).toBe(-Infinity);
    expect(levels.integratedLufs).toBe(-Infinity);
    expect(measure([sine(1000, 2.9, RATE_HZ)]).maxShortTermLufs).toBe(-Infinity);
  });

  test('below the gate of -70 LUFS there is no integrated loudness', () => {
    const levels = measure([sine(1000, 5, RATE_HZ, { peak: 10 ** (-68 / 20) })]);
    expect(levels.integratedLufs).toBe(-Infinity);
    expect(levels.maxMomentaryLufs).toBeCloseTo(-71, 1);
  });
});
