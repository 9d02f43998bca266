/**
 * Gradient lobes: trapezoids of a given area within the limits of the hardware.
 *
 * Amplitudes in mT/m, times in s, areas in mT/m s, slew rates in T/m/s (so 1e3 mT/m/s).
 *
 * @module
 */
import type { GradientLimits } from './hardware.js';

/** A symmetric trapezoid (a triangle when `flatSeconds` is 0). */
export interface Lobe {
  /** Signed plateau amplitude in mT/m. */
  readonly amplitude: number;
  /** From zero to the plateau, and from the plateau to zero. */
  readonly rampSeconds: number;
  readonly flatSeconds: number;
}

export const lobeDurationSeconds = ({ rampSeconds, flatSeconds }: Lobe): number =>
  2 * rampSeconds + flatSeconds;

export const lobeArea = ({ amplitude, rampSeconds, flatSeconds }: Lobe): number =>
  amplitude * (rampSeconds + flatSeconds);

/** A lobe with a plateau of a given amplitude and length, its ramps as steep as the limits allow. */
export function plateauLobe(amplitude: number, flatSeconds: number, limits: GradientLimits): Lobe {
  return { amplitude, flatSeconds, rampSeconds: Math.abs(amplitude) / (limits.slewRate * 1e3) };
}

/** The shortest lobe of an area. */
export function shortestLobe(area: number, limits: GradientLimits): Lobe {
  const slewRate = limits.slewRate * 1e3;
  const peak = Math.sqrt(Math.abs(area) * slewRate);
  if (peak <= limits.amplitude) {
    return { amplitude: Math.sign(area) * peak, rampSeconds: peak / slewRate, flatSeconds: 0 };
  }
  const rampSeconds = limits.amplitude / slewRate;
  return {
    amplitude: Math.sign(area) * limits.amplitude,
    rampSeconds,
    flatSeconds: Math.abs(area) / limits.amplitude - rampSeconds,
  };
}

/**
 * The gentlest lobe of an area and a length: ramps at the slew limit, and the lowest plateau that
 * makes the area.
 *
 * With ramps r = A/S and length D the area is A (D - A/S); of its two solutions the lower one is
 * the trapezoid.
 *
 * @returns undefined where the limits cannot make that area in that time.
 */
export function lobeWithin(
  area: number,
  durationSeconds: number,
  limits: GradientLimits,
): Lobe | undefined {
  const slewRate = limits.slewRate * 1e3;
  const discriminant = durationSeconds ** 2 - (4 * Math.abs(area)) / slewRate;
  if (discriminant < 0) return undefined;
  const amplitude = (slewRate / 2) * (durationSeconds - Math.sqrt(discriminant));
  if (amplitude > limits.amplitude) return undefined;
  const rampSeconds = amplitude / slewRate;
  return {
    amplitude: Math.sign(area) * amplitude,
    rampSeconds,
    flatSeconds: durationSeconds - 2 * rampSeconds,
  };
}

/**
 * A lobe of an area if it fits into a time, else the largest that does.
 *
 * @returns A lobe no longer than `roomSeconds`.
 */
export function strongestLobe(area: number, roomSeconds: number, limits: GradientLimits): Lobe {
  const wanted = shortestLobe(area, limits);
  if (lobeDurationSeconds(wanted) <= roomSeconds) return wanted;
  const slewRate = limits.slewRate * 1e3;
  const amplitude = Math.min(limits.amplitude, (slewRate * roomSeconds) / 2);
  const rampSeconds = amplitude / slewRate;
  return {
    amplitude: Math.sign(area) * amplitude,
    rampSeconds,
    flatSeconds: roomSeconds - 2 * rampSeconds,
  };
}
