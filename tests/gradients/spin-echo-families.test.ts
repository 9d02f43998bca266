/**
 * Families of spin echoes and what goes with them: limits, echoes, series, labelling.
 *
 * That a spin echo forms where the gradient area since the excitation, its sign turned by every
 * refocusing pulse, is zero, and that diffusion weighting is the integral of that area's square, is
 * textbook physics (Stejskal and Tanner 1965); timings are those of open sequences and sidecars, or ours.
 */
import { describe, expect, test } from 'vitest';
import { BlockBuilder } from '../../src/gradients/block-builder.js';
import { echoPlanarTrain } from '../../src/gradients/echo-planar-train.js';
import { geometryOf } from '../../src/gradients/geometry.js';
import {
  layOutGradientSpinEcho,
  drawGradientSpinEcho,
} from '../../src/gradients/gradient-spin-echo.js';
import { drawSpinEcho, layOutSpinEcho } from '../../src/gradients/spin-echo-planar.js';
import { drawSpinEchoTrain, layOutSpinEchoTrain } from '../../src/gradients/spin-echo-train.js';
import {
  type GradientBlock,
  type Segment,
  timelineDurationSeconds,
  type Waveform,
} from '../../src/gradients/timeline.js';
import type { LoadedScan } from '../../src/io/load-study.js';
import { importSidecars } from '../../src/import/import-sidecars.js';
import { describeWithOpenData, openSidecars } from '../helpers/open-data.js';
import {
  amplitudeAt,
  areaBetween,
  expectWithinLimits,
  playedAxes,
  playedWaveform,
} from '../helpers/played-waveform.js';
import { refusal } from '../helpers/refusal.js';
import { studyOf } from '../helpers/study.js';

/** Sums of thousands of slopes leave this much of a limit. */
const ROUNDING = 1e-6;

/** Areas that cancel leave less than this, in mT/m s: a thousandth of what moves an echo by a voxel. */
const NO_AREA = 1e-5;

const VARIANTS: Readonly<Record<string, readonly [type: string, fields: Record<string, unknown>]>> =
  {
    'turbo spin echo': ['turbo-spin-echo-2d', {}],
    'turbo spin echo of thin slices': [
      'turbo-spin-echo-2d',
      {
        AcquisitionVoxelSize: [0.5, 0.5, 1],
        SliceThickness: 1,
        EchoSpacing: 0.0096,
        PixelBandwidth: 335,
        EchoTrainLength: 13,
      },
    ],
    FLAIR: [
      'turbo-spin-echo-2d',
      { RepetitionTime: 9, InversionTime: 2.5, NumberOfSlices: 27, FatSaturation: true },
    ],
    'single shot': ['turbo-spin-echo-2d', { SingleShot: true, RepetitionTime: 1.5 }],
    'single shot after an inversion': [
      'turbo-spin-echo-2d',
      {
        SingleShot: true,
        RepetitionTime: 3,
        InversionTime: 0.3,
        FatSaturation: true,
        NumberOfSlices: 5,
      },
    ],
    'spin echo': ['spin-echo-2d', {}],
    '3D FLAIR with a navigator': [
      'turbo-spin-echo-3d',
      {
        RepetitionTime: 5,
        InversionTime: 1.8,
        EchoTrainLength: 251,
        Navigator: true,
        FatSaturation: true,
        Duration: 60,
      },
    ],
    'spin-echo series': ['spin-echo-echo-planar', {}],
    'series after references and calibration, with pauses': [
      'echo-planar',
      {
        NumberOfReferenceVolumes: 1,
        NumberOfCalibrationShots: 2,
        MultibandAccelerationFactor: 3,
        RepetitionTime: 2,
        DelayTime: 1,
        NumberOfVolumes: 5,
      },
    ],
    'double-refocused diffusion': [
      'diffusion-echo-planar',
      { DoubleRefocused: true, EchoTime: 0.1, NumberOfDirections: 6 },
    ],
    'pulse train, slices': ['arterial-spin-labelling', {}],
    'pulse train, volume, suppressed background': [
      'arterial-spin-labelling',
      { MRAcquisitionType: '3D', EchoTrainLength: 8, BackgroundSuppression: true },
    ],
    'continuous labelling': ['arterial-spin-labelling', { ArterialSpinLabelingType: 'CASL' }],
    'pulsed labelling': ['arterial-spin-labelling', { ArterialSpinLabelingType: 'PASL' }],
    spectroscopy: ['spectroscopy', {}],
    'spectroscopy at a short echo time': ['spectroscopy', { EchoTime: 0.03 }],
    'pre-scan': ['pre-scan', {}],
  };

const played = new Map<string, LoadedScan>();
function play(name: string): LoadedScan {
  let loaded = played.get(name);
  if (loaded === undefined) {
    const [type, fields] = VARIANTS[name]!;
    played.set(name, (loaded = studyOf(type, fields).scans[0]!));
  }
  return loaded;
}

/** The first and a late segment of a scan that hold gradients. */
function someSegments({ played: { timeline } }: LoadedScan): readonly Segment[] {
  const segments = timeline.segments.filter(({ layers }) => layers.length > 0);
  return [0, Math.floor(0.9 * segments.length)].map(i => segments[i]!);
}

describe.each(Object.keys(VARIANTS))('%s', name => {
  test("keeps amplitude and slew rate within the scanner's, all layers together", () => {
    expectWithinLimits(someSegments(play(name)), { amplitude: 80, slewRate: 200 });
  });

  test('starts and ends at zero within its segments', () => {
    for (const segment of someSegments(play(name))) {
      for (const { timesSeconds, amplitudes } of playedAxes(segment)) {
        if (timesSeconds.length === 0) continue;
        expect(timesSeconds[0]!).toBeGreaterThanOrEqual(-1e-9);
        expect(timesSeconds.at(-1)!).toBeLessThanOrEqual(segment.durationSeconds + 1e-9);
        expect(Math.abs(amplitudes[0]!)).toBeLessThan(ROUNDING);
        expect(Math.abs(amplitudes.at(-1)!)).toBeLessThan(ROUNDING);
      }
    }
  });

  test('lasts as long as its Duration says, to half a repetition', () => {
    const {
      scan,
      played: { timeline },
    } = play(name);
    const repetition = (scan.fields.RepetitionTime?.value ?? 0) as number;
    const off = timelineDurationSeconds(timeline) - (scan.fields.Duration!.value as number);
    expect(Math.abs(off)).toBeLessThanOrEqual(repetition / 2 + ROUNDING);
  });
});

const LIMITS = { amplitude: 40, slewRate: 150 };
const STRAIGHT = geometryOf('x', 'y', 'z');

const segmentOf = (block: GradientBlock): Segment => ({
  durationSeconds: 1,
  repeats: 1,
  layers: [{ block, gain: 1 }],
});

/** Read, phase and slice of a drawing. */
function drawn(draw: (builder: BlockBuilder) => void): readonly [Waveform, Waveform, Waveform] {
  const builder = new BlockBuilder();
  draw(builder);
  const segment = segmentOf(builder.build(STRAIGHT));
  return [playedWaveform(segment, 'x'), playedWaveform(segment, 'y'), playedWaveform(segment, 'z')];
}

/** Area since the excitation, its sign turned at every refocusing pulse, in mT/m s. */
function areaAtEcho(
  waveform: Waveform,
  excitationSeconds: number,
  refocusingsSeconds: readonly number[],
  echoSeconds: number,
): number {
  const times = [
    excitationSeconds,
    ...refocusingsSeconds.filter(timeSeconds => timeSeconds < echoSeconds),
    echoSeconds,
  ];
  return times.reduce(
    (area, timeSeconds, i) =>
      i === 0 ? 0 : -area + areaBetween(waveform, times[i - 1]!, timeSeconds),
    0,
  );
}

describe('spin echoes form', () => {
  const common = {
    spacingSeconds: 0.012,
    echoes: 6,
    pixelBandwidthHz: 200,
    readVoxelMm: 0.9,
    phaseVoxelMm: 0.9,
    spacingField: 'EchoSpacing',
  } as const;

  test.each([
    [
      'in slices',
      {
        ...common,
        excitation: { durationSeconds: 0.0025, timeBandwidth: 4, thicknessMm: 4 },
        refocusing: { durationSeconds: 0.002, timeBandwidth: 4, thicknessMm: 4 },
      },
    ],
    [
      'in a volume',
      {
        ...common,
        excitation: { durationSeconds: 0.001 },
        refocusing: { durationSeconds: 0.0007 },
        partitionVoxelMm: 1,
      },
    ],
  ])(
    'in every echo of a train %s, 12 ms apart: on all axes the area is zero but for the encoding',
    (_, shape) => {
      const train = layOutSpinEchoTrain(shape, LIMITS);
      const axes = drawn(whole => drawSpinEchoTrain({ whole }, train, 0, () => 0));
      const excitationSeconds = train.excitationCentreSeconds;
      const pulses = Array.from({ length: 6 }, (_, i) => excitationSeconds + (i + 0.5) * 0.012);
      for (let echo = 1; echo <= 6; echo++) {
        for (const axis of axes) {
          const area = areaAtEcho(
            axis,
            excitationSeconds,
            pulses,
            excitationSeconds + echo * 0.012,
          );
          expect(Math.abs(area)).toBeLessThan(NO_AREA);
        }
      }
    },
  );

  test('phase encoding is taken back in every echo, as a train of echoes needs', () => {
    const shape = {
      ...common,
      excitation: { durationSeconds: 0.0025, timeBandwidth: 4, thicknessMm: 4 },
      refocusing: { durationSeconds: 0.002, timeBandwidth: 4, thicknessMm: 4 },
    };
    const train = layOutSpinEchoTrain(shape, LIMITS);
    const [, phase] = drawn(whole => drawSpinEchoTrain({ whole }, train, 0, () => 1));
    const pulse = (i: number): number => train.excitationCentreSeconds + (i + 0.5) * 0.012;
    for (let i = 0; i < 5; i++) {
      expect(Math.abs(areaBetween(phase, pulse(i), pulse(i + 1)))).toBeLessThan(NO_AREA);
      // To the readout's middle: half of the width of k-space, 1e6 / (2 x 42.577e6 x 0.9 mm).
      const encoded = areaBetween(phase, pulse(i), pulse(i) + 0.006);
      expect(encoded / (1e6 / (2 * 42.577e6 * 0.9))).toBeCloseTo(1, 6);
    }
  });

  test.each([1, 2] as const)(
    'of an echo-planar shot with %i refocusing pulses, at its echo time',
    refocusings => {
      const { scan } = studyOf('diffusion-echo-planar', { EchoTime: 0.1, RepetitionTime: 12 })
        .scans[0]!;
      const train = echoPlanarTrain(
        {
          echoSpacingSeconds: 0.0007,
          echoes: 84,
          lines: 112,
          acceleration: 1,
          readVoxelMm: 2,
          phaseVoxelMm: 2,
        },
        { amplitude: 80, slewRate: 200 },
      );
      const limits = { amplitude: 80, slewRate: 200 };
      const shot = layOutSpinEcho(scan, train, 0.2, limits, refocusings);
      const [read, phase, slice] = drawn(builder => {
        drawSpinEcho(builder, scan, shot, limits);
      });
      const echoSeconds = shot.excitationCentreSeconds + 0.1;
      for (const axis of [read, phase, slice]) {
        const area = areaAtEcho(
          axis,
          shot.excitationCentreSeconds,
          shot.refocusingCentresSeconds,
          echoSeconds,
        );
        expect(Math.abs(area)).toBeLessThan(NO_AREA);
      }
      // The second echo of two refocusing pulses t1 and t2 is at 2 (t2 - t1).
      const [first, second] = shot.refocusingCentresSeconds;
      const between =
        second === undefined ? 2 * (first! - shot.excitationCentreSeconds) : 2 * (second - first!);
      expect(between).toBeCloseTo(0.1, 9);
    },
  );

  test('a readout of gradient and spin echoes winds back on every axis between refocusing pulses', () => {
    for (const EchoTrainLength of [1, 7, 8]) {
      const { scan } = studyOf('arterial-spin-labelling', {
        MRAcquisitionType: '3D',
        EchoTrainLength,
        EchoSpacing: 0.00065,
        RFEchoTrainLength: 6,
      }).scans[0]!;
      const readout = layOutGradientSpinEcho(scan, LIMITS);
      const [read, phase] = drawn(builder => drawGradientSpinEcho(builder, readout, 0));
      const pulse = (i: number): number =>
        readout.excitationCentreSeconds + (i + 0.5) * readout.spacingSeconds;
      for (let i = 0; i < 5; i++) {
        expect(Math.abs(areaBetween(read, pulse(i), pulse(i + 1)))).toBeLessThan(NO_AREA);
        expect(Math.abs(areaBetween(phase, pulse(i), pulse(i + 1)))).toBeLessThan(NO_AREA);
      }
    }
  });
});

describe('double-refocused diffusion', () => {
  const fields = {
    DiffusionBValues: [1000],
    NumberOfDirections: 3,
    NumberOfVolumes: 3,
    EchoTime: 0.1,
  };

  /** The lobes on x at full strength. */
  const lobesOf = (DoubleRefocused: boolean): Waveform => {
    const { layers } = studyOf('diffusion-echo-planar', { ...fields, DoubleRefocused }).scans[0]!
      .played.timeline.segments[0]!;
    return layers[1]!.block.x!;
  };

  /** Plateaus: signs of their amplitudes in order, and where the lobes end. */
  const lobes = ({ timesSeconds, amplitudes }: Waveform) => {
    const corners = [...timesSeconds].map((timeSeconds, i) => ({
      timeSeconds,
      amplitude: amplitudes[i]!,
    }));
    const plateaus = corners.filter(
      (corner, i) =>
        Math.abs(corner.amplitude) > 1e-3 &&
        Math.abs(corner.amplitude - (corners[i + 1]?.amplitude ?? 0)) < 1e-6,
    );
    return plateaus.map(({ timeSeconds, amplitude }) => ({
      startSeconds: timeSeconds,
      sign: Math.sign(amplitude),
    }));
  };

  test('has four lobes of alternating polarity, single-refocused two of one', () => {
    expect(lobes(lobesOf(true)).map(({ sign }) => sign)).toEqual([1, -1, 1, -1]);
    expect(lobes(lobesOf(false)).map(({ sign }) => sign)).toEqual([1, 1]);
  });

  test.each([
    [true, [1, -1, -1, 1]],
    [false, [1, -1]],
  ])(
    'makes its b-value to 1 %% (double-refocused: %s), integrated over the waveform',
    (double, turns) => {
      const waveform = lobesOf(double);
      const starts = lobes(waveform).map(({ startSeconds }) => startSeconds);
      const stepSeconds = 2e-6;
      let area = 0;
      let integral = 0;
      for (let timeSeconds = 0; timeSeconds < 0.14; timeSeconds += stepSeconds) {
        // The lobe whose plateau starts last; its ramp belongs to it.
        const lobe = Math.max(
          0,
          starts.findLastIndex(startSeconds => startSeconds < timeSeconds + 0.0008),
        );
        area += turns[lobe]! * amplitudeAt(waveform, timeSeconds) * 1e-3 * stepSeconds;
        integral += area ** 2 * stepSeconds;
      }
      expect(Math.abs(area)).toBeLessThan(1e-6);
      const b = (2 * Math.PI * 42.577e6) ** 2 * integral * 1e-6;
      expect(Math.abs(b / 1000 - 1)).toBeLessThan(0.01);
    },
  );

  test('lobe lengths that follow from the echo time cannot be given', () => {
    const error = refusal(() =>
      studyOf('diffusion-echo-planar', {
        ...fields,
        DoubleRefocused: true,
        DiffusionGradientDuration: 0.02,
      }),
    );
    expect(error.problems[0]!.where).toMatch(/DiffusionGradientDuration$/);
    expect(error.problems[0]!.fix).toContain('Remove DiffusionGradientDuration');
  });

  test('an echo time too short for four lobes is refused with the time that two echoes need', () => {
    const error = refusal(() =>
      studyOf('diffusion-echo-planar', {
        DoubleRefocused: true,
        EchoTime: 0.04,
        EchoTrainLength: 60,
        AcquisitionMatrixPE: 80,
      }),
    );
    expect(error.problems[0]!.found).toMatch(/two spin echoes|leaves/);
  });
});

describe('slices of a 2D spin echo in time', () => {
  const fields = {
    RepetitionTime: 3,
    NumberOfSlices: 25,
    NumberOfConcatenations: 2,
    EchoTrainLength: 16,
    EchoSpacing: 0.01,
    AcquisitionMatrixPE: 160,
  };
  /** Excitations of a repetition: plateaus of its readout on the read axis, 16 of which make a train. */
  const trainsIn = (segment: Segment): number => {
    const { timesSeconds, amplitudes } = playedWaveform(segment, 'y');
    const highest = amplitudes.reduce((max, a) => Math.max(max, a), 0);
    let plateaus = 0;
    for (let i = 1; i < timesSeconds.length; i++) {
      if (timesSeconds[i]! - timesSeconds[i - 1]! > 0.004 && amplitudes[i]! > 0.2 * highest)
        plateaus += 1;
    }
    return plateaus / 16;
  };

  test('two groups share 25 slices, 13 and 12, ten repetitions each: 160 lines, 16 a train', () => {
    const {
      scan,
      played: { timeline },
    } = studyOf('turbo-spin-echo-2d', fields).scans[0]!;
    expect(scan.fields.Duration!.value).toBe(60);
    expect(timeline.segments).toHaveLength(20);
    expect([0, 9, 10, 19].map(i => trainsIn(timeline.segments[i]!))).toEqual([13, 13, 12, 12]);
  });

  test('the lines of all repetitions together spread evenly over k-space', () => {
    const { segments } = studyOf('turbo-spin-echo-2d', {
      ...fields,
      NumberOfSlices: 2,
      NumberOfConcatenations: 1,
    }).scans[0]!.played.timeline;
    const steps = segments.flatMap(segment => {
      const { timesSeconds, amplitudes } = playedWaveform(segment, 'x');
      const first = timesSeconds.findIndex(
        (timeSeconds, i) => timeSeconds > 0 && Math.abs(amplitudes[i]!) > 1e-9,
      );
      return [amplitudes[first]!];
    });
    const distances = steps.slice(1).map((step, i) => step - steps[i]!);
    expect(distances).toHaveLength(9);
    for (const distance of distances) expect(distance).toBeCloseTo(distances[0]!, 6);
  });

  test('too many slices for a repetition are refused with how many fit', () => {
    const error = refusal(() =>
      studyOf('turbo-spin-echo-2d', { ...fields, NumberOfConcatenations: 1 }),
    );
    expect(error.problems[0]!.found).toContain('25 slices');
    expect(error.problems[0]!.allowed).toMatch(/at most 1\d slices/);
  });

  test('concatenations follow from what fits: 60 slices at 180 ms in 4 s are three groups of 20', () => {
    const { scan } = studyOf('turbo-spin-echo-2d', {
      RepetitionTime: 4,
      NumberOfSlices: 60,
      EchoTrainLength: 16,
      EchoSpacing: 0.01,
    }).scans[0]!;
    expect(scan.fields.NumberOfConcatenations!.value).toBe(3);
  });

  test('a single shot plays all lines of a slice in one train, one slice every repetition', () => {
    const {
      scan,
      played: { timeline },
    } = studyOf('turbo-spin-echo-2d', {
      SingleShot: true,
      RepetitionTime: 1.2,
      NumberOfSlices: 20,
      AcquisitionMatrixPE: 192,
      PartialFourier: 0.625,
      ParallelReductionFactorInPlane: 2,
    }).scans[0]!;
    expect(scan.fields.EchoTrainLength!.value).toBe(60);
    expect(scan.fields.Duration!.value).toBeCloseTo(24, 9);
    expect(timeline.segments).toHaveLength(20);
  });
});

describe('echo-planar series', () => {
  const fields = {
    RepetitionTime: 0.8,
    NumberOfSlices: 60,
    MultibandAccelerationFactor: 6,
    NumberOfVolumes: 100,
    AcquisitionVoxelSize: [2.4, 2.4, 2.4],
    AcquisitionMatrixPE: 90,
    EchoSpacing: 0.00051,
  };
  const segmentsOf = (more: Record<string, unknown>): readonly Segment[] =>
    studyOf('echo-planar', { ...fields, ...more }).scans[0]!.played.timeline.segments;

  test('a reference volume takes every slice alone, so six times as long as one six at once', () => {
    const [reference, series] = segmentsOf({ NumberOfReferenceVolumes: 1 });
    expect(reference!.durationSeconds * reference!.repeats).toBeCloseTo(4.8, 9);
    expect(series!.durationSeconds * series!.repeats).toBeCloseTo(80, 9);
  });

  test('calibration comes first, shot by shot of every slice', () => {
    const segments = segmentsOf({ NumberOfReferenceVolumes: 2, NumberOfCalibrationShots: 3 });
    expect(segments.map(({ repeats }) => repeats)).toEqual([180, 120, 1000]);
  });

  test('a listed length of 14:33 holds 1200 volumes of 0.72 s and a reference volume, eight slices at once', () => {
    const { scan } = studyOf('echo-planar', {
      RepetitionTime: 0.72,
      NumberOfSlices: 72,
      MultibandAccelerationFactor: 8,
      NumberOfReferenceVolumes: 1,
      NumberOfVolumes: 1200,
      EchoTime: 0.0331,
      EchoSpacing: 0.00058,
      AcquisitionMatrixPE: 90,
      AcquisitionVoxelSize: [2, 2, 2],
    }).scans[0]!;
    // 864 s of volumes, 5.76 s of references; the rest of the 873 s are dummy volumes.
    expect(scan.fields.Duration!.value).toBeCloseTo(869.76, 6);
    expect(scan.fields.Duration!.value as number).toBeLessThan(14 * 60 + 33);
  });

  test('a delay makes a silence at the end of every volume', () => {
    const segments = segmentsOf({ RepetitionTime: 3, DelayTime: 2.2 });
    expect(segments).toHaveLength(200);
    expect(segments[1]).toEqual({ durationSeconds: 2.2, repeats: 1, layers: [] });
    expect(segments[0]!.durationSeconds * segments[0]!.repeats).toBeCloseTo(0.8, 9);
  });

  test('a delay as long as the repetition is refused', () => {
    const error = refusal(() => segmentsOf({ RepetitionTime: 2, DelayTime: 2 }));
    expect(JSON.stringify(error.problems)).toContain('DelayTime');
  });
});

describe('labelling', () => {
  const labelOf = (fields: Record<string, unknown>): Waveform =>
    studyOf('arterial-spin-labelling', fields).scans[0]!.played.timeline.segments[0]!.layers[0]!
      .block.z!;

  test('a pulse train has its mean and its largest gradient, pulse after pulse', () => {
    const label = labelOf({
      LabelingDuration: 1.5,
      LabelingPulseInterval: 1.2,
      LabelingPulseMaximumGradient: 9,
      LabelingPulseAverageGradient: 0.8,
    });
    expect(areaBetween(label, 0, 1.5) / 1.5).toBeCloseTo(0.8, 6);
    const plateau = [...label.timesSeconds].findIndex(
      (timeSeconds, i) => i > 0 && label.timesSeconds[i + 1]! - timeSeconds > 0.0005,
    );
    expect(label.amplitudes[plateau]).toBeCloseTo(9, 6);
    // 1250 pulses of four corners each, and as many between them.
    expect(label.timesSeconds.at(-1)).toBeCloseTo(1.5, 6);
    expect(areaBetween(label, 0.6, 0.6012)).toBeCloseTo(0.8 * 0.0012, 9);
  });

  test('continuous labelling holds one gradient', () => {
    const label = labelOf({
      ArterialSpinLabelingType: 'CASL',
      LabelingDuration: 1.5,
      LabelingPulseAverageGradient: 2,
    });
    expect(label.timesSeconds).toHaveLength(4);
    expect(amplitudeAt(label, 0.7)).toBeCloseTo(2, 9);
  });

  test('pulses that the gradients cannot take back in time are refused', () => {
    const error = refusal(() =>
      labelOf({ LabelingPulseInterval: 0.3, LabelingPulseMaximumGradient: 20 }),
    );
    expect(error.problems[0]!.found).toContain('0.3 ms apart under 20 mT/m');
  });

  test('a readout that labelling and delay leave no time for is refused', () => {
    const error = refusal(() =>
      labelOf({ RepetitionTime: 4, LabelingDuration: 1.8, PostLabelingDelay: 1.8 }),
    );
    expect(error.problems[0]!.allowed).toMatch(/at least 4\.\d+ s/);
  });
});

describeWithOpenData('arterial spin labelling sidecars', () => {
  // SliceTiming of the two: 20 slices, the last at 0.74 s, and 24, the last at 1.005 s.
  test.each([
    ['pcasl_2d', 0.74 / 19],
    ['ses-01_asl', 1.005 / 23],
  ])(
    '%s takes its slices in the beat that its SliceTiming shows, within 6 %%',
    (name, beatSeconds) => {
      const files = openSidecars().filter(({ path }) => path.includes(name));
      expect(files).toHaveLength(1);
      const { type, fields } = importSidecars(files).scans[0]!;
      const values = Object.entries(fields).map(([field, { value }]) => [field, value] as const);
      const { rhythm } = studyOf(type, Object.fromEntries(values)).scans[0]!.played;
      expect(Math.abs(rhythm[0]!.hertz * beatSeconds - 1)).toBeLessThan(0.06);
    },
  );
});
