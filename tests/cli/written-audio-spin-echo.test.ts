/**
 * What spin echoes, labelling, spectroscopy and the parts of a scan day without images must sound like,
 * measured from the files that `render` writes. Timings are those of open sequence libraries and public
 * protocols, or ours; that a train whose echoes are T apart sounds on multiples of 1/T, and one that
 * repeats every S on multiples of 1/S, is arithmetic.
 */
import { describe, expect, test } from 'vitest';
import type { PlayedScan } from '../../src/gradients/timeline.js';
import { softknockJson } from '../helpers/cli.js';
import { lineSpectrum, linesIn, strongestLine } from '../helpers/lines.js';
import { expectComb, scanRenderer } from '../helpers/rendered-scan.js';
import { studyOf } from '../helpers/study.js';

const { rendered, studyFile, studyOfScans } = await scanRenderer();

const SAMPLE_RATE_HZ = 44_100;

/** Lines lie on their comb to this share. */
const COMB_ERROR = 0.001;

/** Predicted tones and rates agree with the protocol's arithmetic to this share. */
const RATE_ERROR = 0.005;

interface Description {
  readonly scans: readonly {
    readonly levels: { readonly boreLaeqDba: { readonly expected: number } };
  }[];
}

/** Predicted tones and rates of a scan, as `describe` prints them. */
const predicted = (type: string, fields: Readonly<Record<string, unknown>>): PlayedScan =>
  studyOf(type, fields).scans[0]!.played;

/** The stretch of a sound between two times in s. */
const between = (samples: Float64Array, fromSeconds: number, toSeconds: number): Float64Array =>
  samples.subarray(
    Math.round(fromSeconds * SAMPLE_RATE_HZ),
    Math.round(toSeconds * SAMPLE_RATE_HZ),
  );

/** Mean level in dB of the stretch between two times in s. */
function levelBetween(samples: Float64Array, fromSeconds: number, toSeconds: number): number {
  const part = between(samples, fromSeconds, toSeconds);
  return 10 * Math.log10(part.reduce((sum, x) => sum + x * x, 0) / part.length);
}

/** Levels in dB of frames of a length in s. */
const frames = (samples: Float64Array, frameSeconds: number): readonly number[] =>
  Array.from({ length: Math.floor(samples.length / SAMPLE_RATE_HZ / frameSeconds) }, (_, i) =>
    levelBetween(samples, i * frameSeconds, (i + 1) * frameSeconds),
  );

/** How far a line lies from the nearest multiple of a rate, as a share of the line. */
const offComb = (hertz: number, rateHz: number): number =>
  Math.abs(hertz - Math.round(hertz / rateHz) * rateHz) / hertz;

/**
 * The time by which a sound repeats, near an expected one: where it is most like itself, to a sample's
 * fraction by a parabola through three correlations.
 */
function periodNear(samples: Float64Array, expectedSeconds: number): number {
  const expected = Math.round(expectedSeconds * SAMPLE_RATE_HZ);
  const correlation = (lag: number): number => {
    let sum = 0;
    for (let i = 0; i + lag < samples.length; i++) sum += samples[i]! * samples[i + lag]!;
    return sum / (samples.length - lag);
  };
  const lags = Array.from({ length: 41 }, (_, i) => expected - 20 + i);
  const values = lags.map(correlation);
  const best = values.indexOf(Math.max(...values));
  const [a, b, c] = [values[best - 1]!, values[best]!, values[best + 1]!];
  return (lags[best]! + (a - c) / (2 * (a - 2 * b + c))) / SAMPLE_RATE_HZ;
}

/** An open library's turbo spin echo: 16 echoes 12 ms apart, TR 2 s, readouts of 6.4 ms, 256 x 256. */
const TURBO = {
  RepetitionTime: 2,
  EchoTime: 0.1,
  EchoSpacing: 0.012,
  EchoTrainLength: 16,
  PixelBandwidth: 156.25,
  BaseResolution: 256,
  AcquisitionMatrixPE: 256,
  AcquisitionVoxelSize: [1, 1, 5],
};

describe('a 2D turbo spin echo with echoes 12 ms apart', () => {
  test('rattles at 83.3 Hz for 0.2 s in every repetition of 2 s', async () => {
    const fields = { ...TURBO, NumberOfSlices: 1 };
    const { tones, rhythm } = predicted('turbo-spin-echo-2d', fields);
    expect(Math.abs(tones[0]!.hertz * 0.012 - 1)).toBeLessThan(RATE_ERROR);
    expect(Math.abs(rhythm[1]!.hertz * 2 - 1)).toBeLessThan(RATE_ERROR);
    const samples = await rendered(await studyFile('turbo-spin-echo-2d', fields), 'scan', 4);
    const train = between(samples, 0.01, 0.19);
    expect(Math.abs(periodNear(train, 0.012) / 0.012 - 1)).toBeLessThan(COMB_ERROR);
    expect(levelBetween(samples, 0.02, 0.18)).toBeGreaterThan(levelBetween(samples, 0.5, 1.9) + 25);
    expect(Math.abs(periodNear(samples, 2) / 2 - 1)).toBeLessThan(COMB_ERROR);
  });

  test('as a single shot of 128 lines is a comb of 83.3 Hz', async () => {
    const study = await studyFile('turbo-spin-echo-2d', {
      ...TURBO,
      SingleShot: true,
      EchoTrainLength: 128,
      AcquisitionMatrixPE: 128,
      NumberOfSlices: 3,
    });
    const samples = await rendered(study, 'scan', 2);
    const lines = linesIn(
      lineSpectrum(between(samples, 0.02, 1.53), SAMPLE_RATE_HZ),
      300,
      1300,
      15,
    );
    expect(lines.length).toBeGreaterThan(5);
    for (const { hertz } of lines) expect(offComb(hertz, 1 / 0.012)).toBeLessThan(COMB_ERROR);
  });

  test('in nine slices repeats nine times in every TR: its lines are multiples of 4.5 Hz', async () => {
    const fields = { ...TURBO, NumberOfSlices: 9 };
    const { rhythm } = predicted('turbo-spin-echo-2d', fields);
    const study = await studyFile('turbo-spin-echo-2d', fields);
    expect(Math.abs(rhythm[1]!.hertz / 4.5 - 1)).toBeLessThan(RATE_ERROR);
    const spectrum = lineSpectrum(await rendered(study, 'scan', 6), SAMPLE_RATE_HZ);
    const lines = linesIn(spectrum, 480, 520, 25);
    expect(lines.length).toBeGreaterThan(2);
    for (const { hertz } of lines) expect(offComb(hertz, 4.5)).toBeLessThan(COMB_ERROR);
  });
});

test('2D FLAIR: soft thuds until the inversion time, then rattles in the same beat, then rest', async () => {
  const fields = {
    RepetitionTime: 6,
    InversionTime: 2.2,
    EchoTime: 0.09,
    EchoTrainLength: 14,
    PixelBandwidth: 250,
    SliceThickness: 4,
    NumberOfSlices: 20,
    NumberOfConcatenations: 2,
  };
  const beatSeconds = 1 / predicted('turbo-spin-echo-2d', fields).rhythm[1]!.hertz;
  expect(beatSeconds * 10).toBeLessThan(2.2);
  const samples = await rendered(await studyFile('turbo-spin-echo-2d', fields), 'scan', 6);
  const thuds = levelBetween(samples, 0, 10 * beatSeconds);
  const rattles = levelBetween(samples, 2.2, 2.2 + 10 * beatSeconds);
  expect(rattles).toBeGreaterThan(thuds + 6);
  expect(thuds).toBeGreaterThan(levelBetween(samples, 5, 5.9) + 10);
  // Ten of each: an inversion's spoiler follows its pulse of 10 ms.
  const levels = Array.from({ length: 10 }, (_, i) => [
    levelBetween(samples, i * beatSeconds, i * beatSeconds + 0.04),
    levelBetween(samples, i * beatSeconds + 0.1, (i + 1) * beatSeconds),
  ]);
  for (const [thud, wait] of levels) expect(thud!).toBeGreaterThan(wait! + 10);
  expect(
    Math.abs(
      periodNear(between(samples, 2.2, 2.2 + 10 * beatSeconds), beatSeconds) / beatSeconds - 1,
    ),
  ).toBeLessThan(COMB_ERROR);
});

test('a single-shot train gives a rattle of its length in every repetition', async () => {
  const study = await studyFile('turbo-spin-echo-2d', {
    SingleShot: true,
    RepetitionTime: 1.5,
    EchoSpacing: 0.005,
    EchoTime: 0.09,
    AcquisitionMatrixPE: 192,
    PartialFourier: 0.625,
    PixelBandwidth: 700,
    SliceThickness: 5,
  });
  const samples = await rendered(study, 'scan', 4.5);
  // 120 echoes 5 ms apart: 0.6 s.
  const levels = frames(samples, 0.025);
  const rattling = levels.filter(level => level > Math.max(...levels) - 15).length * 0.025;
  expect(Math.abs(rattling / 3 - 0.6)).toBeLessThan(0.06);
  const line = strongestLine(lineSpectrum(between(samples, 0.02, 0.6), SAMPLE_RATE_HZ), 300, 3000);
  expect(offComb(line.hertz, 200)).toBeLessThan(COMB_ERROR);
});

test('a spin echo taps at the slice rate: 20 slices in 0.5 s are 40 a second', async () => {
  const fields = {
    RepetitionTime: 0.5,
    EchoTime: 0.012,
    NumberOfSlices: 20,
    PixelBandwidth: 180,
  };
  const study = await studyFile('spin-echo-2d', fields);
  expect(Math.abs(predicted('spin-echo-2d', fields).rhythm[0]!.hertz / 40 - 1)).toBeLessThan(
    RATE_ERROR,
  );
  const spectrum = lineSpectrum(await rendered(study, 'scan', 3), SAMPLE_RATE_HZ);
  const lines = linesIn(spectrum, 300, 1500, 20);
  expect(lines.length).toBeGreaterThan(5);
  for (const { hertz } of lines) expect(offComb(hertz, 40)).toBeLessThan(COMB_ERROR);
});

test('3D FLAIR: a thud, a wait to the inversion time, a rattle at 1/3.6 ms, rest, and a navigator', async () => {
  const fields = {
    RepetitionTime: 5,
    InversionTime: 1.8,
    EchoSpacing: 0.0036,
    EchoTrainLength: 251,
    PixelBandwidth: 750,
    Navigator: true,
  };
  const { tones } = predicted('turbo-spin-echo-3d', fields);
  const samples = await rendered(await studyFile('turbo-spin-echo-3d', fields), 'scan', 5);
  const background = levelBetween(samples, 3.6, 4.4);
  expect(levelBetween(samples, 0, 0.05)).toBeGreaterThan(background + 12);
  expect(levelBetween(samples, 0.4, 1.75)).toBeLessThan(background + 3);
  expect(levelBetween(samples, 1.85, 2.65)).toBeGreaterThan(background + 25);
  const train = lineSpectrum(between(samples, 1.85, 2.65), SAMPLE_RATE_HZ);
  expect(offComb(strongestLine(train, 200, 3000).hertz, 1 / 0.0036)).toBeLessThan(COMB_ERROR);
  // The navigator ends the repetition: 0.31 s of echo-planar readout.
  const burst = between(samples, 5 - 0.3, 5 - 0.02);
  expect(levelBetween(samples, 4.7, 4.98)).toBeGreaterThan(background + 20);
  const tone = tones.at(-1)!.hertz;
  const line = strongestLine(lineSpectrum(burst, SAMPLE_RATE_HZ), 800, 2000).hertz;
  // Shots 11.5 ms apart put lines 87 Hz apart beneath the tone's envelope.
  expect(Math.abs(line - tone)).toBeLessThan(87);
});

describe('echo-planar series', () => {
  const SERIES = {
    RepetitionTime: 0.8,
    EchoTime: 0.03,
    EchoSpacing: 0.00051,
    NumberOfSlices: 60,
    MultibandAccelerationFactor: 6,
    AcquisitionMatrixPE: 90,
    AcquisitionVoxelSize: [2.4, 2.4, 2.4],
  };

  test('sounds alike from the first calibration shot on, in the beat of the shots', async () => {
    const fields = {
      ...SERIES,
      NumberOfReferenceVolumes: 1,
      NumberOfCalibrationShots: 1,
      NumberOfVolumes: 20,
    };
    const study = await studyFile('echo-planar', fields);
    const { rhythm } = predicted('echo-planar', fields);
    // One reference volume: 60 slices at 80 ms.
    expect(Math.abs(rhythm[2]!.hertz * 4.8 - 1)).toBeLessThan(RATE_ERROR);
    expectComb(await rendered(study, 'scan', 8), 1 / (2 * 0.00051), 12.5);
  });

  test('a spin-echo series is a comb at its shot rate too', async () => {
    const study = await studyFile('spin-echo-echo-planar', {
      ...SERIES,
      RepetitionTime: 6,
      EchoTime: 0.066,
      MultibandAccelerationFactor: 1,
    });
    expectComb(await rendered(study, 'scan', 6), 1 / (2 * 0.00051), 10);
  });

  test('a sparse series falls silent for its delay', async () => {
    const study = await studyFile('echo-planar', {
      ...SERIES,
      RepetitionTime: 2.5,
      DelayTime: 1.7,
      NumberOfVolumes: 3,
    });
    const samples = await rendered(study, 'scan', 5);
    expect(levelBetween(samples, 0.05, 0.75)).toBeGreaterThan(
      levelBetween(samples, 1.2, 2.45) + 25,
    );
    expect(levelBetween(samples, 2.55, 3.25)).toBeGreaterThan(
      levelBetween(samples, 3.7, 4.95) + 25,
    );
    expect(Math.abs(periodNear(samples, 2.5) / 2.5 - 1)).toBeLessThan(COMB_ERROR);
  });
});

test('double-refocused diffusion thumps four times in a shot, single-refocused twice', async () => {
  // Long waits, so that thumps stand apart; a slow readout of few lines is little beside them.
  const shot = {
    RepetitionTime: 1,
    NumberOfSlices: 1,
    EchoTime: 0.3,
    DiffusionBValues: [2000],
    NumberOfDirections: 3,
    NumberOfVolumes: 3,
    FatSaturation: false,
    EchoSpacing: 0.002,
    EchoTrainLength: 16,
    AcquisitionMatrixPE: 16,
    AcquisitionVoxelSize: [6, 6, 6],
  };
  const energyOf = async (
    fields: Readonly<Record<string, unknown>>,
  ): Promise<readonly number[]> => {
    const study = await studyFile('diffusion-echo-planar', { ...shot, ...fields });
    return frames(await rendered(study, 'scan', 1), 0.01);
  };
  // An edge of a lobe is a thump; where two lobes meet, one edge is twice as steep.
  const loudAt = (levels: readonly number[], aboveDb: number): number =>
    levels.filter((level, i) => i < 30 && level > aboveDb).length;
  const [single, double] = [
    await energyOf({ DoubleRefocused: false }),
    await energyOf({ DoubleRefocused: true }),
  ];
  const threshold = Math.max(...single.slice(0, 30)) - 12;
  expect(loudAt(double, threshold)).toBeGreaterThan(loudAt(single, threshold));
});

describe('arterial spin labelling', () => {
  const ASL = {
    RepetitionTime: 4,
    LabelingDuration: 1.5,
    PostLabelingDelay: 1.5,
    LabelingPulseInterval: 0.92,
    NumberOfSlices: 16,
    EchoTime: 0.014,
    EchoSpacing: 0.00056,
    AcquisitionMatrixPE: 70,
    ParallelReductionFactorInPlane: 2,
    AcquisitionVoxelSize: [3, 3, 5],
  };

  test('a tone at 1/0.92 ms for the labelling, silence for the delay, a burst of beeps, rest', async () => {
    const study = await studyFile('arterial-spin-labelling', ASL);
    const { tones, rhythm } = predicted('arterial-spin-labelling', ASL);
    const label = tones.at(-1)!.hertz;
    expect(Math.abs(label * 0.00092 - 1)).toBeLessThan(RATE_ERROR);
    expect(Math.abs(tones[0]!.hertz * 2 * 0.00056 - 1)).toBeLessThan(RATE_ERROR);
    const samples = await rendered(study, 'scan', 8);
    const tone = strongestLine(
      lineSpectrum(between(samples, 0.02, 1.48), SAMPLE_RATE_HZ),
      200,
      5000,
    ).hertz;
    expect(Math.abs(tone * 0.00092 - 1)).toBeLessThan(COMB_ERROR);
    const labelling = levelBetween(samples, 0.1, 1.4);
    expect(labelling).toBeGreaterThan(levelBetween(samples, 1.85, 2.9) + 30);
    const shotSeconds = 1 / rhythm[0]!.hertz;
    const readout = between(samples, 3, 3 + 15 * shotSeconds);
    expect(levelBetween(samples, 3, 3 + 15 * shotSeconds)).toBeGreaterThan(
      levelBetween(samples, 1.85, 2.9) + 30,
    );
    expect(Math.abs(periodNear(readout, shotSeconds) / shotSeconds - 1)).toBeLessThan(COMB_ERROR);
    const beeps = strongestLine(lineSpectrum(readout, SAMPLE_RATE_HZ), 600, 1300).hertz;
    expect(Math.abs(beeps - 1 / (2 * 0.00056))).toBeLessThan(1.01 / shotSeconds);
    expect(levelBetween(samples, 3 + 17 * shotSeconds, 3.95)).toBeLessThan(labelling - 20);
    expect(Math.abs(periodNear(samples, 4) / 4 - 1)).toBeLessThan(COMB_ERROR);
  });

  test('suppressing the background adds two thuds to the delay', async () => {
    const levelsOf = async (BackgroundSuppression: boolean): Promise<readonly number[]> => {
      const study = await studyFile('arterial-spin-labelling', { ...ASL, BackgroundSuppression });
      return frames(between(await rendered(study, 'scan', 4), 1.85, 2.9), 0.05);
    };
    const [without, having] = [await levelsOf(false), await levelsOf(true)];
    const quiet = without.toSorted((a, b) => a - b)[10]!;
    expect(without.filter(level => level > quiet + 12)).toEqual([]);
    const loud = having.map(level => level > quiet + 12);
    expect(loud.filter((on, i) => on && loud[i - 1] !== true)).toHaveLength(2);
  });

  test('continuous labelling is silent, pulsed labelling is one thud', async () => {
    const levelsOf = async (fields: Readonly<Record<string, unknown>>): Promise<Float64Array> =>
      rendered(await studyFile('arterial-spin-labelling', { ...ASL, ...fields }), 'scan', 4);
    const casl = await levelsOf({
      ArterialSpinLabelingType: 'CASL',
      LabelingPulseAverageGradient: 2.5,
    });
    const quiet = levelBetween(casl, 0.2, 1.4);
    // As quiet as the delay: fan and cryocooler are all that is heard.
    expect(Math.abs(quiet - levelBetween(casl, 1.7, 2.9))).toBeLessThan(1);
    expect(levelBetween(casl, 3.05, 3.4)).toBeGreaterThan(quiet + 25);
    const pasl = await levelsOf({ ArterialSpinLabelingType: 'PASL', LabelingDuration: 0.02 });
    expect(levelBetween(pasl, 0, 0.05)).toBeGreaterThan(levelBetween(pasl, 0.4, 1.4) + 15);
    // The delay of pulsed labelling counts from its pulse.
    expect(levelBetween(pasl, 1.55, 1.9)).toBeGreaterThan(levelBetween(pasl, 0.4, 1.4) + 25);
  });

  test('a 3D readout is a burst of beeps at the rate of its refocusing pulses', async () => {
    const fields = {
      ...ASL,
      MRAcquisitionType: '3D',
      EchoTrainLength: 12,
      RFEchoTrainLength: 20,
      AcquisitionVoxelSize: [3, 3, 4],
      NumberOfSlices: 32,
    };
    const study = await studyFile('arterial-spin-labelling', fields);
    const { rhythm } = predicted('arterial-spin-labelling', fields);
    const spacingSeconds = 1 / rhythm[1]!.hertz;
    const samples = await rendered(study, 'scan', 4);
    const burst = between(samples, 3 + spacingSeconds, 3 + 19 * spacingSeconds);
    expect(Math.abs(periodNear(burst, spacingSeconds) / spacingSeconds - 1)).toBeLessThan(
      COMB_ERROR,
    );
    expect(levelBetween(samples, 3 + spacingSeconds, 3 + 19 * spacingSeconds)).toBeGreaterThan(
      levelBetween(samples, 1.85, 2.9) + 30,
    );
  });
});

test('spectroscopy knocks in one short group every repetition, and is silent while it listens', async () => {
  const fields = { RepetitionTime: 1.5, EchoTime: 0.035 };
  const study = await studyFile('spectroscopy', fields);
  const { rhythm } = predicted('spectroscopy', fields);
  expect(Math.abs(rhythm[0]!.hertz * 1.5 - 1)).toBeLessThan(RATE_ERROR);
  const samples = await rendered(study, 'scan', 6);
  const levels = frames(samples, 0.025);
  const loud = levels.map(level => level > Math.max(...levels) - 25);
  const groups = loud.flatMap((on, i) =>
    on && !loud.slice(Math.max(0, i - 8), i).includes(true) ? [i * 0.025] : [],
  );
  expect(groups).toEqual([0, 1.5, 3, 4.5]);
  expect(loud.filter(Boolean).length * 0.025).toBeLessThan(4 * 0.2);
  expect(Math.abs(periodNear(samples, 1.5) / 1.5 - 1)).toBeLessThan(COMB_ERROR);
});

describe('a scan day between images', () => {
  test('a pre-scan clicks 0.55 s apart, then buzzes, as often as its length holds', async () => {
    const study = await studyFile('pre-scan', { Duration: 15 });
    const samples = await rendered(study, 'scan', 15);
    const levels = frames(samples, 0.01);
    const loud = levels.map(level => level > Math.max(...levels) - 12);
    const starts = loud.flatMap((on, i) =>
      on && !loud.slice(Math.max(0, i - 10), i).includes(true) ? [i * 0.01] : [],
    );
    for (const pattern of [0, 6.6]) {
      const clicks = starts.filter(start => start > pattern && start < pattern + 3.2);
      expect(clicks).toHaveLength(6);
      clicks.forEach((start, i) => {
        expect(Math.abs(start - pattern - 0.1 - 0.55 * i)).toBeLessThan(0.015);
      });
    }
    // The pattern of 6.6 s comes twice, then nothing.
    expect(starts.filter(start => start > 13.3)).toEqual([]);
  });

  test('the table hums at multiples of its motor and stops with a clunk', async () => {
    const study = await studyFile('table-motion', { Duration: 6 });
    const samples = await rendered(study, 'scan', 6);
    const hum = lineSpectrum(between(samples, 1, 4.9), SAMPLE_RATE_HZ);
    for (const multiple of [2, 3, 4]) {
      const line = strongestLine(hum, multiple * 112 - 20, multiple * 112 + 20).hertz;
      expect(Math.abs(line / (multiple * 112) - 1)).toBeLessThan(COMB_ERROR);
    }
    const levels = frames(samples, 0.05);
    expect(levels.indexOf(Math.max(...levels)) * 0.05).toBeCloseTo(5.5, 1);
    expect(levelBetween(samples, 5.9, 6)).toBeLessThan(levelBetween(samples, 2, 4) - 3);
  });

  test('a pause is the scanner at rest: 60 dBA, however long', async () => {
    const study = await studyFile('pause', { Duration: 5 });
    const { scans } = await softknockJson<Description>('describe', study);
    expect(Math.abs(scans[0]!.levels.boreLaeqDba.expected - 60)).toBeLessThan(1);
    expect(await rendered(study, 'scan', 30)).toHaveLength(5 * SAMPLE_RATE_HZ);
  });
});

/**
 * Levels in the bore at 3 T in dBA, with 8 dB to either side: a judgement from published measurements
 * (82.5 to 118.4 dBA for fast sequences, Price and others, J Magn Reson Imaging 2001). Spin echoes and
 * spin-echo series are taken as turbo spin echoes and echo-planar ones.
 */
const LEVELS: Readonly<Record<string, number>> = {
  spectroscopy: 82,
  'turbo-spin-echo-2d': 95,
  'spin-echo-2d': 95,
  'turbo-spin-echo-3d': 98,
  'arterial-spin-labelling': 98,
  'echo-planar': 105,
  'spin-echo-echo-planar': 105,
  'diffusion-echo-planar': 105,
};

test('levels are those of their kind: spectroscopy the quietest, a multiband series the loudest', async () => {
  const types = Object.keys(LEVELS);
  const study = await studyOfScans([
    ...types.map(type => ({ type, fields: {} })),
    { type: 'diffusion-echo-planar', fields: { DoubleRefocused: true, EchoTime: 0.1 } },
    {
      type: 'echo-planar',
      // The readout of the spin-echo series, 12.5 times a second.
      fields: {
        RepetitionTime: 0.8,
        MultibandAccelerationFactor: 6,
        NumberOfSlices: 60,
        AcquisitionMatrixPE: 90,
        AcquisitionVoxelSize: [2.4, 2.4, 2.4],
      },
    },
  ]);
  const { scans } = await softknockJson<Description>('describe', study);
  const levels = scans.map(scan => scan.levels.boreLaeqDba.expected);
  types.forEach((type, i) => {
    expect(Math.abs(levels[i]! - LEVELS[type]!), `${type} ${levels[i]!}`).toBeLessThanOrEqual(8);
  });
  const [double, multiband] = levels.slice(-2);
  expect(Math.abs(double! - 105)).toBeLessThanOrEqual(8);
  expect(Math.abs(multiband! - 108)).toBeLessThanOrEqual(8);
  expect(Math.min(...levels)).toBe(levels[0]);
  expect(Math.max(...levels)).toBe(multiband);
});
