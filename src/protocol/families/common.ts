/**
 * Fields and rules that several families share.
 *
 * @module
 */
import type { FieldName } from '../fields.js';
import { estimate, positive, type Rule, rule } from './family.js';

/** Fields that every family of images understands. */
export const IMAGE_FIELDS: readonly FieldName[] = [
  'Duration',
  'NumberOfSlices',
  'SliceThickness',
  'AcquisitionVoxelSize',
  'AcquisitionMatrixPE',
  'BaseResolution',
  'PixelBandwidth',
  'ParallelReductionFactorInPlane',
  'PartialFourier',
  'SliceOrientation',
  'ImageOrientationPatientDICOM',
  'PhaseEncodingDirection',
  'RepetitionTime',
];

/** Duration and number of volumes from one another. */
export const VOLUMES: readonly Rule[] = [
  rule('Duration', ['RepetitionTime', 'NumberOfVolumes'], 'RepetitionTime x volumes', (tr, n) =>
    positive(tr * n),
  ),
  rule('NumberOfVolumes', ['Duration', 'RepetitionTime'], 'Duration / RepetitionTime', (t, tr) =>
    Math.max(1, Math.round(t / tr)),
  ),
];

export const ISOTROPIC = estimate(
  'AcquisitionVoxelSize',
  ['SliceThickness'],
  'voxels as wide as the slice is thick',
  mm => [mm, mm, mm],
);

/** Field of view of a head in mm. Common practice, no source. */
const HEAD_MM = 230;

export const HEAD_VOXEL = estimate(
  'AcquisitionVoxelSize',
  ['BaseResolution', 'SliceThickness'],
  `${HEAD_MM} mm, a head, over BaseResolution`,
  (samples, mm) => {
    const side = Number(Math.max(0.1, HEAD_MM / samples).toPrecision(3));
    return [side, side, mm];
  },
);

export const SLICE_THICKNESS: Rule = {
  field: 'SliceThickness',
  from: ['AcquisitionVoxelSize'],
  why: 'third side of the voxel',
  estimate: false,
  value: size => (size as readonly number[])[2],
};

export const SQUARE_MATRIX = estimate(
  'AcquisitionMatrixPE',
  ['BaseResolution'],
  'as many lines as samples along the readout',
  n => n,
);

/** Fields and rules of scans that may read several echoes after an excitation. */
export const ECHO_FIELDS: readonly FieldName[] = ['EchoTime', 'EchoTimes'];
export const ECHOES: readonly Rule[] = [
  rule('EchoTimes', ['EchoTime'], 'one echo', te => [te]),
  {
    field: 'EchoTime',
    from: ['EchoTimes'],
    why: 'the first of them',
    estimate: false,
    value: times => (times as readonly number[])[0],
  },
];

/** Longest readout of a gradient echo that is guessed, in s. Common practice, no source. */
const LONGEST_READOUT_SECONDS = 0.008;

/** A readout that echo times and repetition time leave room for. */
export const ROOMY_READOUT: Rule = {
  field: 'PixelBandwidth',
  from: ['EchoTimes', 'RepetitionTime'],
  why: `a readout of at most 1.4 x the first echo time, 0.7 x their distance, half of the repetition, and ${LONGEST_READOUT_SECONDS * 1000} ms`,
  estimate: true,
  value: (echoTimes, repetition) => {
    const times = echoTimes as readonly number[];
    const distances = times.slice(1).map((time, i) => time - times[i]!);
    const longest = Math.min(
      1.4 * times[0]!,
      0.7 * Math.min(...distances),
      0.5 * (repetition as number),
      LONGEST_READOUT_SECONDS,
    );
    return Math.min(20_000, Math.ceil(1 / longest / 10) * 10);
  },
};

/** Repetition times below this, in s, hold one excitation: slices are taken one after another. */
const ONE_EXCITATION_SECONDS = 0.1;

/** Length of a 2D scan whose images take a number of repetitions each; all slices share one where it is long. */
export const repetitionsOfSlices = (perImage: FieldName): Rule =>
  estimate(
    'Duration',
    ['RepetitionTime', perImage, 'NumberOfSlices', 'NumberOfVolumes'],
    `RepetitionTime x ${perImage} x volumes; and x slices where RepetitionTime is below ${ONE_EXCITATION_SECONDS} s`,
    (tr, repetitions, slices, volumes) =>
      positive(tr * repetitions * volumes * (tr < ONE_EXCITATION_SECONDS ? slices : 1)),
  );

/** Every line of every slice or partition, one per repetition time. */
export const LINES_OF_ALL_SLICES = rule(
  'Duration',
  [
    'RepetitionTime',
    'AcquisitionMatrixPE',
    'NumberOfSlices',
    'NumberOfVolumes',
    'PartialFourier',
    'ParallelReductionFactorInPlane',
  ],
  'RepetitionTime x lines x slices x volumes x partial Fourier / acceleration',
  (tr, lines, slices, volumes, pf, r) =>
    positive(tr * Math.ceil((lines * pf) / r) * slices * volumes),
);

/** One line of every slice or partition per repetition time. */
export const ONE_LINE_PER_REPETITION = rule(
  'Duration',
  ['RepetitionTime', 'AcquisitionMatrixPE', 'PartialFourier', 'ParallelReductionFactorInPlane'],
  'RepetitionTime x lines x partial Fourier / acceleration',
  (tr, lines, pf, r) => positive(tr * Math.ceil((lines * pf) / r)),
);
