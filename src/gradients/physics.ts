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

/**
 * Diffusion weighting of two rectangular lobes (Stejskal and Tanner 1965):
 * `b = (gamma G delta)^2 (Delta - delta/3)`.
 *
 * @returns s/mm2.
 */
export const diffusionWeighting = (gradient: number, deltaS: number, separationS: number): number =>
  (GAMMA_RAD_PER_S_T * gradient * 1e-3 * deltaS) ** 2 * (separationS - deltaS / 3) * 1e-6;

/** The gradient that {@link diffusionWeighting} needs for a b-value, in mT/m. */
export const diffusionGradient = (bValue: number, deltaS: number, separationS: number): number =>
  (Math.sqrt((bValue * 1e6) / (separationS - deltaS / 3)) / (GAMMA_RAD_PER_S_T * deltaS)) * 1e3;
