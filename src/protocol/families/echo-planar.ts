/**
 * Echo-planar scans: gradient echo, and spin echo as a field map.
 *
 * @module
 */
import type { FieldName } from '../fields.js';
import { IMAGE_FIELDS, SLICE_THICKNESS, SQUARE_MATRIX, VOLUMES } from './common.js';
import { estimate, type Family, type Rule, rule } from './family.js';

/**
 * Echo spacing x pixel bandwidth of echo-planar scans: median over 143 sidecars of one maker, which
 * range from 1.08 to 2.22 (computed from public sidecars).
 */
const ECHO_SPACING_TIMES_BANDWIDTH = 1.27;

/** Fat saturation, half of the excitation and the spoiler of an echo-planar shot, in s. Common practice, no source. */
const SHOT_OVERHEAD_S = 0.02;

/** Slew rate of echo-planar readouts, in T/m/s: the highest that is common. Common practice, no source. */
const READOUT_SLEW_RATE = 200;

/** Gyromagnetic ratio of the proton over 2 pi, in Hz/T. */
export const PROTON_HZ_PER_T = 42.577e6;

/** Fields of every echo-planar readout. */
export const ECHO_PLANAR_FIELDS: readonly FieldName[] = [
  ...IMAGE_FIELDS,
  'EchoTime',
  'EchoSpacing',
  'EffectiveEchoSpacing',
  'EchoTrainLength',
  'MultibandAccelerationFactor',
  'NumberOfVolumes',
  'FatSaturation',
];

/**
 * Rules of every echo-planar readout.
 *
 * @param shotS - Typical length of one shot in s, for when nothing better is known.
 */
export function echoPlanarRules(shotS: number): readonly Rule[] {
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

/** Gradient-echo series: typical shot of 75 ms. Common practice, no source. */
export const echoPlanar: Family = { fields: ECHO_PLANAR_FIELDS, rules: echoPlanarRules(0.075) };

/** Spin-echo field maps: typical shot of 100 ms. Common practice, no source. */
export const fieldMapEchoPlanar: Family = {
  fields: ECHO_PLANAR_FIELDS,
  rules: echoPlanarRules(0.1),
};
