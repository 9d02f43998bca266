/** Fields of each type from sidecars of our own invention; arithmetic beside each case. */
import { describe, expect, test } from 'vitest';
import type { ScanType } from '../../src/protocol/scan.js';
import { readFields } from '../../src/import/sidecar-fields.js';
import { Sidecar } from '../../src/import/sidecar.js';

/** What a single file gives. */
const sourceOf = (json: Record<string, unknown>, echoTimesSeconds: readonly number[]) => ({
  sidecar: new Sidecar(json),
  echoTimesSeconds,
  inversionTimesSeconds: [],
  twoTrains: false,
});
const read = (
  type: ScanType,
  json: Record<string, unknown>,
  echoTimesSeconds: readonly number[] = [],
) => readFields(type, sourceOf(json, echoTimesSeconds));
const fieldsOf = (...args: Parameters<typeof read>) => read(...args).fields;

describe('a gradient-echo field map', () => {
  const type = 'field-map-gradient-echo';

  test('with a short repetition time takes one excitation in it, and lines x partitions in all', () => {
    const json = {
      RepetitionTime: 0.02,
      AcquisitionMatrixPE: 80,
      PhaseEncodingStepsOutOfPlane: 53,
      ParallelReductionFactorInPlane: 2,
    };
    const { NumberOfSlices, Duration } = fieldsOf(type, json);
    expect(NumberOfSlices).toMatchObject({ value: 1, origin: 'derived' });
    // 20 ms x 80 x 53 / 2 = 42.4 s.
    expect(Duration).toMatchObject({ value: 42.4, origin: 'derived' });
    expect(fieldsOf(type, { ...json, AcquisitionMatrixPE: undefined }).Duration).toBeUndefined();
    expect(
      fieldsOf(type, { ...json, PhaseEncodingStepsOutOfPlane: undefined }).Duration,
    ).toBeUndefined();
  });

  test('with a long one counts slices by their times, and never a multiband factor', () => {
    const json = {
      RepetitionTime: 0.6,
      SliceTiming: [0, 0.3, 0, 0.3],
      MultibandAccelerationFactor: 2,
    };
    const fields = fieldsOf(type, json);
    expect(fields.NumberOfSlices!.value).toBe(4);
    expect(fields.MultibandAccelerationFactor).toBeUndefined();
    expect(
      fieldsOf(type, { RepetitionTime: 0.1, SliceTiming: [0, 0.05] }).NumberOfSlices!.value,
    ).toBe(2);
  });

  test('takes its two echo times from two files, one from one', () => {
    const two = fieldsOf(type, { RepetitionTime: 0.6 }, [0.005, 0.0075]);
    expect([two.EchoTime1!.value, two.EchoTime2!.value]).toEqual([0.005, 0.0075]);
    const one = fieldsOf(type, { RepetitionTime: 0.6 }, [0.005]);
    expect([one.EchoTime1!.value, one.EchoTime2]).toEqual([0.005, undefined]);
    expect(fieldsOf(type, { RepetitionTime: 0.6 }).EchoTime1).toBeUndefined();
  });
});

describe('an echo-planar scan', () => {
  const json = { RepetitionTime: 2, EffectiveEchoSpacing: 0.0005, EchoTrainLength: 64 };

  test('has its echo train, unless it counts one echo or its spacing was turned down', () => {
    const train = (more: Record<string, unknown>) => {
      return fieldsOf('echo-planar', { ...json, ...more }).EchoTrainLength?.value;
    };
    expect(train({})).toBe(64);
    expect(train({ EchoTrainLength: 2 })).toBe(2);
    expect(train({ EchoTrainLength: 1 })).toBeUndefined();
    expect(train({ EffectiveEchoSpacing: 0.00001 })).toBeUndefined();
  });

  test.each([
    ['FS', true],
    ['PFP\\FS', true],
    ['EPI_GEMS\\PFF\\FS', true],
    ['EPI_GEMS\\PFF', false],
  ])('with the options %s has fat saturation: %s', (ScanOptions, value) => {
    expect(fieldsOf('echo-planar', { ...json, ScanOptions }).FatSaturation!.value).toBe(value);
  });

  test('without options says nothing of fat saturation', () => {
    expect(fieldsOf('echo-planar', json).FatSaturation).toBeUndefined();
  });

  test("leaves one maker's bandwidth out, which is that of another pixel", () => {
    const wide = { ...json, PixelBandwidth: 7812.5, AcquisitionMatrixPE: 64 };
    const { fields, notes } = read('echo-planar', { ...wide, Manufacturer: 'GE' });
    expect(fields.PixelBandwidth).toBeUndefined();
    expect(notes).toEqual([
      'PixelBandwidth is not used: this maker reports that of another pixel.',
    ]);
  });
});

describe('slices that do not fit into the repetition time', () => {
  /** The multiband factor that is guessed for 60 slices in `repetitionSeconds`. */
  const guess = (repetitionSeconds: number, more: Record<string, unknown> = {}, slices = 60) =>
    readFields('echo-planar', {
      ...sourceOf({ RepetitionTime: repetitionSeconds, ...more }, [0.03]),
      image: { size: [64, 64, slices], voxelMm: [3, 3, 3], volumes: 10 },
    }).fields.MultibandAccelerationFactor?.value;

  test.each([
    // 60 x 30 ms = 1.8 s; 30, 20, 15, 12, 10, 6, 5 x 30 ms.
    [1.8, undefined],
    [1.7, 2],
    [0.8, 3],
    [0.5, 4],
    [0.4, 5],
    [0.35, 6],
    [0.2, 10],
    [0.17, 12],
  ])('in %d s are excited %j at once', (repetitionSeconds, factor) => {
    expect(guess(repetitionSeconds)).toBe(factor);
  });

  test('a train lasts half of itself beyond the echo', () => {
    // 30 ms + 0.5 ms x 60 / 2 = 45 ms; 60 x 45 ms = 2.7 s.
    const train = { EffectiveEchoSpacing: 0.0005, EchoTrainLength: 60 };
    expect(guess(2.7, train)).toBeUndefined();
    expect(guess(2.6, train)).toBe(2);
    expect(guess(2.6, { EffectiveEchoSpacing: 0.0005 })).toBeUndefined();
  });

  test('no factor is guessed that does not divide them', () => {
    expect(guess(0.9, {}, 61)).toBeUndefined();
  });
});

describe('an inversion-prepared scan', () => {
  const type = 'inversion-gradient-echo-3d';

  test('with a repetition time of 0.1 s or more counts it from inversion to inversion', () => {
    expect(fieldsOf(type, { RepetitionTime: 0.1 }).RepetitionTime!.value).toBe(0.1);
    const inner = fieldsOf(type, { RepetitionTime: 0.099, RepetitionTimePreparation: 2 });
    expect([inner.RepetitionTimeExcitation!.value, inner.RepetitionTime!.value]).toEqual([
      0.099, 2,
    ]);
  });

  test('has partitions where the sidecar counts them', () => {
    const partitions = (steps: number) =>
      fieldsOf(type, { PhaseEncodingStepsOutOfPlane: steps }).NumberOfSlices?.value;
    expect([partitions(170), partitions(2), partitions(1)]).toEqual([170, 2, undefined]);
  });
});

describe('the length of a scan', () => {
  test('is what the sidecar states when that is not the length of a volume', () => {
    const length = (AcquisitionDuration: number) =>
      fieldsOf('echo-planar', { RepetitionTime: 2, AcquisitionDuration }).Duration?.value;
    expect([length(2), length(2.9), length(3), length(300)]).toEqual([
      undefined,
      undefined,
      3,
      300,
    ]);
  });
});
