/**
 * The few relations between images and gradients that every family rests on.
 *
 * Areas (time integrals of a gradient) are in mT/m s, gradients in mT/m, lengths in mm, times in s.
 *
 * @module
 */

/** Gyromagnetic ratio of the proton over 2 pi, in Hz/T (CODATA 2018, rounded to 5 digits). */
const GAMMA_BAR_HZ_PER_T = 42.577e6;

/** Gyromagnetic ratio of the proton in rad/s/T. */
const GAMMA_RAD_PER_S_T = 2 * Math.PI * GAMMA_BAR_HZ_PER_T;

/**
 * Area of a gradient that crosses the k-space width of one image: `1 / (gammaBar x voxel)`.
 *
 * @param voxelMm - Voxel size along the axis, in mm.
 * @returns Area in mT/m s; 0.0235 for 1 mm.
 */
export const encodingArea = (voxelMm: number): number => 1e6 / (GAMMA_BAR_HZ_PER_T * voxelMm);

/**
 * Gradient that makes a pulse of a bandwidth excite a slice of a thickness.
 *
 * @param bandwidthHz - Pulse bandwidth in Hz.
 * @param thicknessMm - Slice thickness in mm.
 * @returns mT/m.
 */
export const sliceGradient = (bandwidthHz: number, thicknessMm: number): number =>
  (bandwidthHz / (GAMMA_BAR_HZ_PER_T * thicknessMm * 1e-3)) * 1e3;

/** A rectangular pulse of gradient as the spins feel it: refocusing pulses turn the sign. */
export interface EffectivePulse {
  readonly startSeconds: number;
  readonly durationSeconds: number;
  readonly sign: 1 | -1;
}

/**
 * Diffusion weighting of rectangular pulses of one strength, one after another:
 * `b = gamma^2 x integral of (integral of G)^2`. For a pair of them it is that of Stejskal and Tanner
 * (1965), `(gamma G delta)^2 (Delta - delta/3)`.
 *
 * @param gradient - mT/m.
 * @returns s/mm2.
 */
export function diffusionWeighting(gradient: number, pulses: readonly EffectivePulse[]): number {
  let moment = 0; // s, to be multiplied by the gradient
  let integral = 0; // s3
  pulses.forEach(({ startSeconds, durationSeconds, sign }, i) => {
    const previous = pulses[i - 1];
    if (previous !== undefined) {
      integral += moment ** 2 * (startSeconds - previous.startSeconds - previous.durationSeconds);
    }
    const after = moment + sign * durationSeconds;
    integral += (durationSeconds * (moment ** 2 + moment * after + after ** 2)) / 3;
    moment = after;
  });
  return (GAMMA_RAD_PER_S_T * gradient * 1e-3) ** 2 * integral * 1e-6;
}

/** The gradient that {@link diffusionWeighting} needs for a b-value, in mT/m. */
export const diffusionGradient = (bValue: number, pulses: readonly EffectivePulse[]): number =>
  Math.sqrt(bValue / diffusionWeighting(1, pulses));
