/**
 * 2D turbo spin echo, also with inversion (FLAIR) and as a single shot.
 *
 * @module
 */
import type { FieldName } from '../fields.js';
import { HEAD_VOXEL, IMAGE_FIELDS, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import { estimate, type Family } from './family.js';
import { sliceRules } from './multi-slice.js';

/** Refocusing pulse, crushers and ramps of one echo, in s. Common practice, no source. */
const ECHO_OVERHEAD_SECONDS = 0.005;

/** Slices of a single-shot scan of which nothing is known. Common practice, no source. */
const SINGLE_SHOT_SLICES = 25;

const LINES: readonly FieldName[] = [
  'AcquisitionMatrixPE',
  'PartialFourier',
  'ParallelReductionFactorInPlane',
];

export const turboSpinEcho2d: Family = {
  fields: [
    ...IMAGE_FIELDS,
    'EchoTime',
    'EchoSpacing',
    'EchoTrainLength',
    'InversionTime',
    'NumberOfConcatenations',
    'SingleShot',
    'FatSaturation',
  ],
  rules: [
    {
      field: 'EchoTrainLength',
      from: ['SingleShot', ...LINES],
      why: 'a single shot plays all lines x partial Fourier / acceleration',
      estimate: false,
      value: (single, lines, pf, r) =>
        single === true
          ? Math.ceil(((lines as number) * (pf as number)) / (r as number))
          : undefined,
    },
    {
      field: 'NumberOfConcatenations',
      from: ['SingleShot', 'NumberOfSlices'],
      why: 'every slice of a single-shot scan is a group of its own',
      estimate: false,
      value: (single, slices) => (single === true ? slices : undefined),
    },
    {
      field: 'NumberOfSlices',
      from: ['SingleShot'],
      why: 'a head in slices of 5 mm',
      estimate: true,
      value: single => (single === true ? SINGLE_SHOT_SLICES : undefined),
    },
    estimate(
      'EchoSpacing',
      ['EchoTime', 'PixelBandwidth', 'EchoTrainLength'],
      `the shortest whole part of EchoTime that holds 1 / PixelBandwidth + ${ECHO_OVERHEAD_SECONDS * 1000} ms`,
      (te, bandwidth, etl) => {
        const most = Math.floor(te / (1 / bandwidth + ECHO_OVERHEAD_SECONDS));
        return te / Math.max(1, Math.min(etl, most));
      },
    ),
    HEAD_VOXEL,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    ...sliceRules(['EchoTrainLength', 'EchoSpacing'], (etl, spacing) => etl * spacing),
  ],
};
