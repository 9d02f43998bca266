/**
 * How a missing field follows from others, per sequence family.
 *
 * Exact rules come first. An `estimate` gives a plausible value from a loose relation and its result
 * counts as assumed; it still beats the family's typical value, since it follows this protocol.
 *
 * @module
 */
import type { FieldName, FieldValue } from './fields.js';
import type { ScanType } from './scan.js';

export interface Rule {
  readonly field: FieldName;
  readonly from: readonly FieldName[];
  /** The rule in words; the values of `from` are printed after it. */
  readonly why: string;
  /** Whether the result is only plausible. */
  readonly estimate: boolean;
  /** The value; undefined where the rule has nothing to say. Arguments are the values of `from`. */
  readonly value: (...from: FieldValue[]) => FieldValue | undefined;
}

/** A rule between numbers. */
function rule(
  field: FieldName,
  from: readonly FieldName[],
  why: string,
  value: (...from: number[]) => FieldValue | undefined,
): Rule {
  return { field, from, why, estimate: false, value: (...args) => value(...(args as number[])) };
}

/** A loose relation between numbers. */
function estimate(...args: Parameters<typeof rule>): Rule {
  return { ...rule(...args), estimate: true };
}

/**
 * Echo spacing x pixel bandwidth of echo-planar scans: median over 143 sidecars of one maker, which
 * range from 1.08 to 2.22 (computed from public sidecars).
 */
const ECHO_SPACING_TIMES_BANDWIDTH = 1.27;

/** Pulse, prephasing and spoiling of one excitation of an inversion-prepared train, in s. Common practice, no source. */
const EXCITATION_OVERHEAD_S = 0.0029;

/** Refocusing pulse and crushers of one echo of a long 3D train, in s. Common practice, no source. */
const REFOCUS_OVERHEAD_S = 0.0022;

/** Fat saturation, half of the excitation and the spoiler of an echo-planar shot, in s. Common practice, no source. */
const SHOT_OVERHEAD_S = 0.02;

/** Slew rate of echo-planar readouts, in T/m/s: the highest that is common. Common practice, no source. */
const READOUT_SLEW_RATE = 200;

/** Diffusion lobes: amplitude in mT/m, and what half of the echo time holds besides a lobe, in s. Common practice, no source. */
const LOBE_AMPLITUDE = 70;
const LOBE_OVERHEAD_S = 0.0035;

/** Gyromagnetic ratio of the proton over 2 pi, in Hz/T. */
const PROTON_HZ_PER_T = 42.577e6;

/** Typical length of one echo-planar shot, in s, when only the repetition time is known. Common practice, no source. */
const SHOT_S = { 'echo-planar': 0.075, 'diffusion-echo-planar': 0.14, fieldMap: 0.1 };

const VOLUMES: readonly Rule[] = [
  rule('Duration', ['RepetitionTime', 'NumberOfVolumes'], 'RepetitionTime x volumes', (tr, n) =>
    positive(tr * n),
  ),
  rule('NumberOfVolumes', ['Duration', 'RepetitionTime'], 'Duration / RepetitionTime', (t, tr) =>
    Math.max(1, Math.round(t / tr)),
  ),
];

const ISOTROPIC = estimate(
  'AcquisitionVoxelSize',
  ['SliceThickness'],
  'voxels as wide as the slice is thick',
  mm => [mm, mm, mm],
);

const SLICE_THICKNESS: Rule = {
  field: 'SliceThickness',
  from: ['AcquisitionVoxelSize'],
  why: 'third side of the voxel',
  estimate: false,
  value: size => (size as readonly number[])[2],
};

const SQUARE_MATRIX = estimate(
  'AcquisitionMatrixPE',
  ['BaseResolution'],
  'as many lines as samples along the readout',
  n => n,
);

function echoPlanar(shotS: number): readonly Rule[] {
  return [
    rule(
      'EchoSpacing',
      ['EffectiveEchoSpacing', 'ParallelReductionFactorInPlane'],
      'EffectiveEchoSpacing x in-plane acceleration',
      (effective, r) => effective * r,
    ),
    estimate(
      'EchoSpacing',
      ['PixelBandwidth'],
      `${ECHO_SPACING_TIMES_BANDWIDTH} / PixelBandwidth`,
      bandwidth => ECHO_SPACING_TIMES_BANDWIDTH / bandwidth,
    ),
    ...VOLUMES,
    estimate(
      'AcquisitionVoxelSize',
      ['SliceThickness', 'EchoSpacing'],
      `voxels as wide as the slice is thick, or as ${READOUT_SLEW_RATE} T/m/s can cross in the echo spacing`,
      (mm, echoSpacing) => {
        const finestMm = (4 / (PROTON_HZ_PER_T * READOUT_SLEW_RATE * echoSpacing ** 2)) * 1e3;
        const wide = Math.max(mm, Math.ceil(finestMm * 1.02 * 100) / 100);
        return [wide, wide, mm];
      },
    ),
    SLICE_THICKNESS,
    rule(
      'PartialFourier',
      ['EchoTrainLength', 'AcquisitionMatrixPE', 'ParallelReductionFactorInPlane'],
      'echo train x in-plane acceleration / lines',
      (etl, lines, r) => Math.min(1, Math.max(0.5, (etl * r) / lines)),
    ),
    rule(
      'AcquisitionMatrixPE',
      ['EchoTrainLength', 'ParallelReductionFactorInPlane', 'PartialFourier'],
      'echo train x in-plane acceleration / partial Fourier',
      (etl, r, pf) => Math.round((etl * r) / pf),
    ),
    SQUARE_MATRIX,
    rule(
      'EchoTrainLength',
      ['AcquisitionMatrixPE', 'PartialFourier', 'ParallelReductionFactorInPlane'],
      'lines x partial Fourier / in-plane acceleration',
      (lines, pf, r) => Math.max(1, Math.round((lines * pf) / r)),
    ),
    estimate(
      'NumberOfSlices',
      [
        'RepetitionTime',
        'MultibandAccelerationFactor',
        'EchoTime',
        'EchoSpacing',
        'EchoTrainLength',
      ],
      `multiband factor x RepetitionTime / shot (echo time, half of the train, ${SHOT_OVERHEAD_S * 1e3} ms)`,
      (tr, mb, te, spacing, echoes) => {
        const longestS = te + (spacing * echoes) / 2 + SHOT_OVERHEAD_S;
        return mb * Math.max(1, Math.floor(tr / Math.max(longestS, shotS)));
      },
    ),
    estimate(
      'RepetitionTime',
      ['NumberOfSlices', 'MultibandAccelerationFactor'],
      `slices / multiband factor x ${shotS * 1000} ms for a shot`,
      (slices, mb) => (slices / mb) * shotS,
    ),
  ];
}

/** The rules of every family, in the order in which they are tried. */
export const RULES: Readonly<Record<ScanType, readonly Rule[]>> = {
  localiser: [
    rule(
      'Duration',
      ['RepetitionTime', 'AcquisitionMatrixPE', 'NumberOfSlices', 'NumberOfVolumes'],
      'RepetitionTime x lines x slices x volumes',
      (tr, lines, slices, n) => positive(tr * lines * slices * n),
    ),
    SQUARE_MATRIX,
    SLICE_THICKNESS,
  ],
  'inversion-gradient-echo-3d': [
    estimate(
      'RepetitionTimeExcitation',
      ['PixelBandwidth'],
      `1 / PixelBandwidth + ${EXCITATION_OVERHEAD_S * 1000} ms for pulse and gradients`,
      bandwidth => 1 / bandwidth + EXCITATION_OVERHEAD_S,
    ),
    rule(
      'EchoTrainLength',
      ['NumberOfSlices'],
      'one excitation per partition after each inversion',
      n => n,
    ),
    estimate(
      'EchoTrainLength',
      ['InversionTime', 'RepetitionTimeExcitation'],
      'as many excitations as fit, centred on the inversion time, up to 176',
      (ti, tr) => Math.min(176, Math.floor((2 * (ti - 0.03)) / tr)),
    ),
    rule('NumberOfSlices', ['EchoTrainLength'], 'one partition per excitation', n => n),
    estimate(
      'RepetitionTime',
      ['InversionTime', 'RepetitionTimeExcitation', 'EchoTrainLength'],
      'inversion time + half of the train + 0.6 s of recovery',
      (ti, tr, n) => ti + (n / 2) * tr + 0.6,
    ),
    ISOTROPIC,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    rule(
      'Duration',
      ['RepetitionTime', 'AcquisitionMatrixPE', 'PartialFourier', 'ParallelReductionFactorInPlane'],
      'RepetitionTime x lines x partial Fourier / acceleration',
      (tr, lines, pf, r) => positive(tr * Math.ceil((lines * pf) / r)),
    ),
  ],
  'turbo-spin-echo-3d': [
    estimate(
      'EchoSpacing',
      ['PixelBandwidth'],
      `1 / PixelBandwidth + ${REFOCUS_OVERHEAD_S * 1000} ms for refocusing and crushers`,
      bandwidth => 1 / bandwidth + REFOCUS_OVERHEAD_S,
    ),
    ISOTROPIC,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    rule(
      'Duration',
      [
        'RepetitionTime',
        'AcquisitionMatrixPE',
        'NumberOfSlices',
        'PartialFourier',
        'ParallelReductionFactorInPlane',
        'EchoTrainLength',
      ],
      'RepetitionTime x lines x partitions x partial Fourier / (acceleration x echoes per train)',
      (tr, lines, slices, pf, r, etl) =>
        positive(tr * Math.ceil((lines * slices * pf) / (r * etl))),
    ),
  ],
  'echo-planar': echoPlanar(SHOT_S['echo-planar']),
  'diffusion-echo-planar': [
    estimate(
      'DiffusionBValues',
      [
        'EchoTime',
        'EchoSpacing',
        'EchoTrainLength',
        'AcquisitionMatrixPE',
        'ParallelReductionFactorInPlane',
      ],
      `one shell: what ${LOBE_AMPLITUDE} mT/m can make within the echo time, up to 1000`,
      (te, spacing, echoes, lines, r) => {
        const centreS = Math.max(0, echoes - lines / (2 * r)) * spacing;
        const lobeS = te / 2 - centreS - LOBE_OVERHEAD_S;
        if (lobeS <= 0) return undefined;
        const strength = 2 * Math.PI * PROTON_HZ_PER_T * LOBE_AMPLITUDE * 1e-3 * lobeS;
        const highest = strength ** 2 * (lobeS + 2 * LOBE_OVERHEAD_S - lobeS / 3) * 1e-6;
        return [0, Math.max(50, Math.min(1000, Math.floor(highest / 50) * 50))];
      },
    ),
    {
      field: 'NumberOfVolumes',
      from: ['NumberOfDirections', 'DiffusionBValues'],
      why: 'directions x shells, and one volume without weighting for every b-value of 0',
      estimate: false,
      value: (directions, bValues) => {
        const shells = (bValues as readonly number[]).filter(b => b > 0).length;
        const unweighted = (bValues as readonly number[]).length - shells;
        return (directions as number) * shells + unweighted;
      },
    },
    ...echoPlanar(SHOT_S['diffusion-echo-planar']),
  ],
  'field-map-gradient-echo': [
    estimate(
      'EchoTime2',
      ['EchoTime1', 'PixelBandwidth'],
      'EchoTime1 + 2.46 ms (one fat-water cycle at 3 T), or + one readout where that is longer',
      (te, bandwidth) => te + Math.max(0.00246, 1 / bandwidth + 0.0004),
    ),
    SQUARE_MATRIX,
    SLICE_THICKNESS,
    rule(
      'Duration',
      ['RepetitionTime', 'AcquisitionMatrixPE', 'PartialFourier', 'ParallelReductionFactorInPlane'],
      'RepetitionTime x lines x partial Fourier / acceleration',
      (tr, lines, pf, r) => positive(tr * Math.ceil((lines * pf) / r)),
    ),
  ],
  'field-map-echo-planar': echoPlanar(SHOT_S.fieldMap),
};

/** A duration as `Duration` allows it: rules do not turn tiny protocols into impossible ones. */
const positive = (durationS: number): number | undefined =>
  durationS >= 0.5 ? durationS : undefined;
