/** Single shots, refocusing twice, slices and delays from sidecars of our own invention. */
import { describe, expect, test } from 'vitest';
import type { ScanType } from '../../src/protocol/scan.js';
import { readFields } from '../../src/import/sidecar-fields.js';
import { Sidecar } from '../../src/import/sidecar.js';

const fieldsOf = (type: ScanType, json: Record<string, unknown>) =>
  readFields(type, {
    sidecar: new Sidecar(json),
    echoTimesSeconds: [],
    inversionTimesSeconds: [],
    twoTrains: false,
  }).fields;

describe('a 2D turbo spin echo is a single shot', () => {
  const single = (json: Record<string, unknown>): boolean =>
    fieldsOf('turbo-spin-echo-2d', json).SingleShot?.value === true;

  test.each([
    { SequenceName: '*haste2d1_192' },
    { PulseSequenceName: 'SSFSE' },
    { PulseSequenceDetails: 'SSTSE' },
    { PulseSequenceName: 'Single-shot TSE' },
  ])('by its name: %j', json => {
    expect(single(json)).toBe(true);
  });

  test('by a train that holds all lines, and not by one that holds fewer', () => {
    const lines = { AcquisitionMatrixPE: 192, PartialFourier: 0.625 };
    // 192 x 0.625 = 120, with an acceleration of 2 it is 60.
    expect(single({ ...lines, EchoTrainLength: 120 })).toBe(true);
    expect(single({ ...lines, EchoTrainLength: 119 })).toBe(false);
    expect(single({ ...lines, EchoTrainLength: 60, ParallelReductionFactorInPlane: 2 })).toBe(true);
    expect(single({ ...lines, EchoTrainLength: 15 })).toBe(false);
    expect(single({ EchoTrainLength: 300 })).toBe(false);
  });

  test.each(['*tse2d1_17', 'fse-xl', 'TSE'])('not by the name %s', SequenceName => {
    expect(single({ SequenceName })).toBe(false);
  });
});

test('slices of a 2D spin echo are counted, whatever their times', () => {
  const json = {
    RepetitionTime: 8,
    SliceTiming: [2.4, 0, 2.5, 0.1],
    MultibandAccelerationFactor: 2,
  };
  const { NumberOfSlices } = fieldsOf('turbo-spin-echo-2d', json);
  expect(NumberOfSlices).toMatchObject({ value: 4, origin: 'derived' });
});

describe('refocusing of a diffusion scan', () => {
  test.each([
    ['Bipolar', true],
    ['bipolar', true],
    ['Monopolar', false],
  ])('%s', (DiffusionScheme, twice) => {
    const { DoubleRefocused } = fieldsOf('diffusion-echo-planar', { DiffusionScheme });
    expect(DoubleRefocused).toMatchObject({ value: twice, origin: 'derived' });
  });

  test('is left open where the sidecar does not say', () => {
    expect(fieldsOf('diffusion-echo-planar', {}).DoubleRefocused).toBeUndefined();
  });
});

test('the silence of a sparse series is its DelayTime', () => {
  const json = { RepetitionTime: 9, DelayTime: 7 };
  expect(fieldsOf('echo-planar', json).DelayTime).toMatchObject({ value: 7, origin: 'given' });
});

test('spectroscopy has its transients and whether water is suppressed', () => {
  const json = {
    RepetitionTime: 2,
    NumberOfTransients: 64,
    WaterSuppression: false,
    AcquisitionVoxelSize: [20, 20, 15],
    PixelBandwidth: 2,
  };
  const fields = fieldsOf('spectroscopy', json);
  expect(fields.NumberOfTransients!.value).toBe(64);
  expect(fields.WaterSuppression!.value).toBe(false);
  expect(fields.AcquisitionVoxelSize!.value).toEqual([20, 20, 15]);
  expect(fields.PixelBandwidth).toBeUndefined();
});
