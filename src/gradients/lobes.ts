/**
 * Gradient lobes: trapezoids of a given area within the limits of the hardware.
 *
 * Amplitudes in mT/m, times in s, areas in mT/m s, slew rates in T/m/s (so 1e3 mT/m/s).
 *
 * @module
 */
import type { GradientLimits } from './hardware.js';

/** A symmetric trapezoid (a triangle when `flatS` is 0). */
export interface Lobe {
  /** Signed plateau amplitude in mT/m. */
  readonly amplitude: number;
  /** From zero to the plateau, and from the plateau to zero. */
  readonly rampS: number;
  readonly flatS: number;
}

export const lobeDurationS = ({ rampS, flatS }: Lobe): number => 2 * rampS + flatS;

export const lobeArea = ({ amplitude, rampS, flatS }: Lobe): number => amplitude * (rampS + flatS);

/** A lobe with a plateau of a given amplitude and length, its ramps as steep as the limits allow. */
export function plateauLobe(amplitude: number, flatS: number, limits: GradientLimits): Lobe {
  return { amplitude, flatS, rampS: Math.abs(amplitude) / (limits.slewRate * 1e3) };
}

/** The shortest lobe of an area. */
export function shortestLobe(area: number, limits: GradientLimits): Lobe {
  const slewRate = limits.slewRate * 1e3;
  const peak = Math.sqrt(Math.abs(area) * slewRate);
  if (peak <= limits.amplitude) {
    return { amplitude: Math.sign(area) * peak, rampS: peak / slewRate, flatS: 0 };
  }
  const rampS = limits.amplitude / slewRate;
  return {
    amplitude: Math.sign(area) * limits.amplitude,
    rampS,
    flatS: Math.abs(area) / limits.amplitude - rampS,
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
  durationS: number,
  limits: GradientLimits,
): Lobe | undefined {
  const slewRate = limits.slewRate * 1e3;
  const discriminant = durationS ** 2 - (4 * Math.abs(area)) / slewRate;
  if (discriminant < 0) return undefined;
  const amplitude = (slewRate / 2) * (durationS - Math.sqrt(discriminant));
  if (amplitude > limits.amplitude) return undefined;
  const rampS = amplitude / slewRate;
  return { amplitude: Math.sign(area) * amplitude, rampS, flatS: durationS - 2 * rampS };
}

/**
 * A lobe of an area if it fits into a time, else the largest that does.
 *
 * @returns A lobe no longer than `roomS`.
 */
export function strongestLobe(area: number, roomS: number, limits: GradientLimits): Lobe {
  const wanted = shortestLobe(area, limits);
  if (lobeDurationS(wanted) <= roomS) return wanted;
  const slewRate = limits.slewRate * 1e3;
  const amplitude = Math.min(limits.amplitude, (slewRate * roomS) / 2);
  const rampS = amplitude / slewRate;
  return { amplitude: Math.sign(area) * amplitude, rampS, flatS: roomS - 2 * rampS };
}
