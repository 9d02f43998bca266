/**
 * Echo-planar scans: gradient echo, and spin echo as a field map.
 *
 * @module
 */
import type { FieldName } from '../fields.js';
import { IMAGE_FIELDS, SLICE_THICKNESS, SQUARE_MATRIX } from './common.js';
import { estimate, type Family, positive, type Rule, rule } from './family.js';

/**
 * Echo spacing x pixel bandwidth of echo-planar scans: median over 143 sidecars of one maker, which
 * range from 1.08 to 2.22 (computed from public sidecars).
 */
const ECHO_SPACING_TIMES_BANDWIDTH = 1.27;

/** Fat saturation, half of the excitation and the spoiler of an echo-planar shot, in s. Common practice, no source. */
const SHOT_OVERHEAD_SECONDS = 0.02;

/** Slew rate of echo-planar readouts, in T/m/s: the highest that is common. Common practice, no source. */
const READOUT_SLEW_RATE = 200;

/** What the length of a shot follows from. */
const SHOT: readonly FieldName[] = ['EchoTime', 'EchoSpacing', 'EchoTrainLength'];
const SHOT_WORDS = `shot (echo time, half of the train, ${SHOT_OVERHEAD_SECONDS * 1e3} ms)`;

/** What the time before the first volume follows from. */
const PREPARATION: readonly FieldName[] = [
  'NumberOfReferenceVolumes',
  'NumberOfCalibrationShots',
  'MultibandAccelerationFactor',
  'DelayTime',
];
const PREPARATION_WORDS = 'with reference volumes and calibration shots slice by slice before them';

/** Gyromagnetic ratio of the proton over 2 pi, in Hz/T. */
export const PROTON_HZ_PER_T = 42.577e6;

/** Fields of every echo-planar readout. */
export const READOUT_FIELDS: readonly FieldName[] = [
  ...IMAGE_FIELDS,
  'EchoTime',
  'EchoSpacing',
  'EffectiveEchoSpacing',
  'EchoTrainLength',
  'NumberOfVolumes',
  'FatSaturation',
];

/** Fields of every echo-planar series. */
export const ECHO_PLANAR_FIELDS: readonly FieldName[] = [
  ...READOUT_FIELDS,
  'MultibandAccelerationFactor',
  'NumberOfReferenceVolumes',
  'NumberOfCalibrationShots',
  'DelayTime',
];

/** Rules of every echo-planar readout. */
export const READOUT_RULES: readonly Rule[] = [
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
    // Less than half of the lines: the rest comes in other shots.
    (etl, lines, r) =>
      etl * r < 0.49 * lines ? undefined : Math.min(1, Math.max(0.5, (etl * r) / lines)),
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
];

/** Length and number of volumes of a series from one another, with what comes before the first volume. */
const SERIES: readonly Rule[] = [
  rule(
    'Duration',
    ['RepetitionTime', 'NumberOfVolumes', ...PREPARATION],
    `RepetitionTime x volumes, ${PREPARATION_WORDS}`,
    (tr, volumes, references, calibrations, mb, delay) =>
      positive(tr * volumes + preparationSeconds(tr, references, calibrations, mb, delay)),
  ),
  rule(
    'NumberOfVolumes',
    ['Duration', 'RepetitionTime', ...PREPARATION],
    `Duration / RepetitionTime, ${PREPARATION_WORDS}`,
    (duration, tr, references, calibrations, mb, delay) => {
      const volumesSeconds = duration - preparationSeconds(tr, references, calibrations, mb, delay);
      return Math.max(1, Math.round(volumesSeconds / tr));
    },
  ),
];

/**
 * Rules of every echo-planar series.
 *
 * @param shotSeconds - Typical length of one shot in s, for when nothing better is known.
 */
export function echoPlanarRules(shotSeconds: number): readonly Rule[] {
  return [
    ...READOUT_RULES,
    ...SERIES,
    estimate(
      'NumberOfSlices',
      ['RepetitionTime', 'DelayTime', 'MultibandAccelerationFactor', ...SHOT],
      `multiband factor x time of a volume / ${SHOT_WORDS}`,
      (tr, delay, mb, te, spacing, echoes) => {
        const shots = Math.floor(
          (tr - delay) / Math.max(shotSeconds, longestShotSeconds(te, spacing, echoes)),
        );
        return mb * Math.max(1, shots);
      },
    ),
    estimate(
      'RepetitionTime',
      ['NumberOfSlices', 'DelayTime', 'MultibandAccelerationFactor', ...SHOT],
      `slices / multiband factor x ${SHOT_WORDS}, at least ${shotSeconds * 1000} ms`,
      (slices, delay, mb, te, spacing, echoes) =>
        (slices / mb) * Math.max(shotSeconds, longestShotSeconds(te, spacing, echoes)) + delay,
    ),
  ];
}

/** Generous length of one shot, in s. */
const longestShotSeconds = (te: number, spacing: number, echoes: number): number =>
  te + (spacing * echoes) / 2 + SHOT_OVERHEAD_SECONDS;

/** Time before the first volume, in s: reference and calibration shots take every slice alone. */
const preparationSeconds = (
  tr: number,
  references: number,
  calibrations: number,
  multiband: number,
  delay: number,
): number => (references + calibrations) * multiband * (tr - delay);

/** Gradient-echo series: typical shot of 75 ms. Common practice, no source. */
export const echoPlanar: Family = { fields: ECHO_PLANAR_FIELDS, rules: echoPlanarRules(0.075) };

/** Spin-echo series and field maps: typical shot of 100 ms. Common practice, no source. */
export const spinEchoEchoPlanar: Family = {
  fields: ECHO_PLANAR_FIELDS,
  rules: echoPlanarRules(0.1),
};
export const fieldMapEchoPlanar: Family = spinEchoEchoPlanar;
