/** Every family keeps the scanner's limits, its timing, and returns its gradients to zero. */
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { AXES, timelineDurationSeconds, type Waveform } from '../../src/gradients/timeline.js';
import { SCAN_TYPES } from '../../src/protocol/scan.js';
import { nightSky, studyOf } from '../helpers/study.js';

/** Sums of thousands of slopes leave this much of a limit. */
const ROUNDING = 1e-6;

function waveforms(
  study: ReturnType<typeof nightSky>,
): { name: string; axis: string; waveform: Waveform; gain: number; durationSeconds: number }[] {
  return study.scans.flatMap(({ scan, played }) =>
    played.timeline.segments.flatMap(({ layers, durationSeconds }) =>
      layers.flatMap(({ block, gain }) =>
        AXES.flatMap(axis => {
          const waveform = block[axis];
          return waveform === undefined
            ? []
            : [{ name: scan.name, axis, waveform, gain, durationSeconds }];
        }),
      ),
    ),
  );
}

describe('waveforms of the demo study', () => {
  const study = nightSky();
  const all = waveforms(study);
  const amplitude = study.scanner.MaximumGradientAmplitude.value;
  const slewRate = study.scanner.MaximumSlewRate.value;

  test('there are some on every axis', () => {
    expect(new Set(all.map(({ axis }) => axis))).toEqual(new Set(AXES));
    expect(new Set(all.map(({ name }) => name)).size).toBe(8);
  });

  test('never pass the amplitude and slew rate of the scanner', () => {
    for (const { waveform, gain } of all) {
      const { timesSeconds, amplitudes } = waveform;
      const highest = amplitudes.reduce((max, a) => Math.max(max, Math.abs(a)), 0);
      expect(highest * Math.abs(gain)).toBeLessThanOrEqual(amplitude * (1 + ROUNDING));
      let steepest = 0;
      for (let i = 1; i < timesSeconds.length; i++) {
        const slope =
          Math.abs(amplitudes[i]! - amplitudes[i - 1]!) /
          (timesSeconds[i]! - timesSeconds[i - 1]!) /
          1e3;
        steepest = Math.max(steepest, slope);
      }
      expect(steepest * Math.abs(gain)).toBeLessThanOrEqual(slewRate * (1 + ROUNDING));
    }
  });

  test('start and end at zero, within their segment, times never falling', () => {
    for (const { waveform, durationSeconds } of all) {
      const { timesSeconds, amplitudes } = waveform;
      expect(Math.abs(amplitudes[0]!)).toBeLessThan(1e-6);
      expect(Math.abs(amplitudes.at(-1)!)).toBeLessThan(1e-6);
      expect(timesSeconds[0]!).toBeGreaterThanOrEqual(0);
      expect(timesSeconds.at(-1)!).toBeLessThanOrEqual(durationSeconds + 1e-9);
      expect(timesSeconds.every((t, i) => i === 0 || t >= timesSeconds[i - 1]!)).toBe(true);
    }
  });

  test('every scan lasts as long as the study file says', () => {
    for (const { scan, played } of study.scans) {
      const stated = scan.fields.Duration!.value as number;
      // Scans end after a whole number of their longest repetition.
      const repetition = scan.fields.RepetitionTime!.value as number;
      const unit = Math.max(repetition, 1.7);
      expect(Math.abs(timelineDurationSeconds(played.timeline) - stated)).toBeLessThanOrEqual(
        unit / 2 + 1e-6,
      );
    }
  });
});

test.each(SCAN_TYPES)('%s plays from typical values alone', type => {
  const { played } = studyOf(type, {}).scans[0]!;
  expect(timelineDurationSeconds(played.timeline)).toBeGreaterThan(5);
  // Knocks have a rhythm and no tone; where no gradient plays there is neither.
  const silent = type === 'pause' || type === 'table-motion';
  expect(played.tones.length > 0).toBe(!silent && type !== 'spectroscopy');
  expect(played.rhythm.length > 0).toBe(!silent);
});

describe('what the hardware cannot play is refused with its numbers', () => {
  const problemOf = (run: () => unknown): string => {
    try {
      run();
    } catch (error) {
      if (error instanceof UserError) return JSON.stringify(error.problems);
      throw error;
    }
    return 'nothing was refused';
  };

  test('an echo spacing that the gradients cannot reach', () => {
    const text = problemOf(() =>
      studyOf('echo-planar', {
        EchoSpacing: 0.00025,
        AcquisitionVoxelSize: [2, 2, 2],
        EchoTime: 0.03,
      }),
    );
    expect(text).toContain('0.25 ms');
    expect(text).toContain('47.0 mT/m');
    expect(text).toContain('200 T/m/s');
    expect(text).toMatch(/study\.yaml:\d+ scans\[0\]\.EchoSpacing/);
  });

  test('an echo time before the middle of the train', () => {
    const text = problemOf(() =>
      studyOf('echo-planar', {
        EchoTime: 0.01,
        EchoSpacing: 0.0006,
        AcquisitionMatrixPE: 64,
        RepetitionTime: 3,
      }),
    );
    expect(text).toContain('echo time 10 ms');
    expect(text).toMatch(/at least 2\d\.\d+ ms/);
  });

  test('more shots than the repetition time holds', () => {
    const text = problemOf(() =>
      studyOf('echo-planar', {
        RepetitionTime: 1.6,
        NumberOfSlices: 40,
        EchoTime: 0.03,
        EchoSpacing: 0.0005,
      }),
    );
    expect(text).toContain('leaves 40 ms for each');
  });

  test('an inversion time that the train does not fit around', () => {
    const text = problemOf(() =>
      studyOf('inversion-gradient-echo-3d', { InversionTime: 0.4, EchoTrainLength: 192 }),
    );
    expect(text).toContain('InversionTime of at least');
  });

  test('a b-value that the gradients are too weak for', () => {
    const text = problemOf(() =>
      studyOf(
        'diffusion-echo-planar',
        { DiffusionBValues: [0, 3000], EchoTime: 0.08 },
        ', MaximumGradientAmplitude: 30',
      ),
    );
    expect(text).toContain('b = 3000 s/mm2');
    expect(text).toContain('30 mT/m');
  });

  test('an assumed value is named as such', () => {
    const text = problemOf(() =>
      studyOf('echo-planar', { RepetitionTime: 0.5, NumberOfSlices: 30 }),
    );
    expect(text).toContain('RepetitionTime');
    expect(text).not.toContain('is assumed');
    const other = problemOf(() =>
      studyOf('echo-planar', { AcquisitionVoxelSize: [0.5, 2, 2], NumberOfSlices: 4 }),
    );
    expect(other).toContain('EchoSpacing is assumed');
  });
});

describe('diffusion', () => {
  test('plays every volume: directions x shells and those without weighting, strength by the root of b', () => {
    const { played } = studyOf('diffusion-echo-planar', {
      DiffusionBValues: [0, 1000, 2000],
      NumberOfDirections: 6,
      NumberOfVolumes: 14,
      EchoTime: 0.09,
    }).scans[0]!;
    const { segments } = played.timeline;
    expect(segments).toHaveLength(14);
    const strengths = segments.map(({ layers }) =>
      Math.hypot(...layers.slice(1).map(({ gain }) => gain)),
    );
    expect(strengths.filter(s => s === 0)).toHaveLength(2);
    expect(strengths.filter(s => Math.abs(s - 1) < 1e-9)).toHaveLength(6);
    expect(strengths.filter(s => Math.abs(s - Math.SQRT1_2) < 1e-9)).toHaveLength(6);
  });
});
