/**
 * The lobes of a diffusion shot at its highest weighting: one on each side of the refocusing pulse
 * (Stejskal and Tanner 1965), or four around two refocusing pulses, of alternating polarity, so that
 * the eddy currents of one cancel those of the next (Reese and others 2003).
 *
 * @module
 */
import { booleanField, numberField, type Scan } from '../protocol/scan.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import type { Lobe } from './lobes.js';
import { diffusionGradient, type EffectivePulse } from './physics.js';
import type { SpinEchoShot } from './spin-echo-planar.js';

/** Diffusion lobes rise more slowly than the hardware could, for the nerves' sake. Common practice, no source. */
const SLEW_SHARE = 0.5;

/** A lobe in its place: ramps included in its length. */
interface Place {
  readonly startS: number;
  readonly durationS: number;
  /** As it is played, and as the spins feel it after all refocusing pulses. */
  readonly played: 1 | -1;
  readonly felt: 1 | -1;
}

/** A lobe and when it starts, in s. */
export interface PlacedLobe {
  readonly lobe: Lobe;
  readonly startS: number;
}

/**
 * The lobes that make a weighting.
 *
 * @param bValue - Above 0, in s/mm2.
 * @throws {UnplayableError} The gradients are too weak, or the times too short.
 */
export function diffusionLobes(
  scan: Scan,
  shot: SpinEchoShot,
  bValue: number,
  limits: GradientLimits,
): readonly PlacedLobe[] {
  const places = booleanField(scan, 'DoubleRefocused') ? four(scan, shot) : pair(scan, shot);
  const shape = strengthOf(scan, bValue, places, limits);
  if (shape === undefined) {
    const roomS = Math.min(...shot.windows.map(({ startS, endS }) => endS - startS));
    throw new UnplayableError(
      'DiffusionBValues',
      `b = ${bValue} s/mm2 at an echo time of ${formatTime(numberField(scan, 'EchoTime'))} leaves ` +
        `${formatTime(Math.max(0, roomS))} for each lobe, which ${limits.amplitude} mT/m cannot make`,
      'a longer EchoTime, a lower b-value, a shorter readout train or stronger gradients',
      'Check EchoTime, DiffusionBValues, PartialFourier, EchoTrainLength and MaximumGradientAmplitude.',
    );
  }
  const { amplitude, rampS } = shape;
  return places.map(({ startS, durationS, played }) => ({
    startS,
    lobe: { amplitude: played * amplitude, rampS, flatS: durationS - 2 * rampS },
  }));
}

/** Two lobes, as long as the shorter wait allows, as near to the refocusing pulse as can be. */
function pair(scan: Scan, { windows }: SpinEchoShot): readonly Place[] {
  const [before, after] = [windows[0]!, windows[1]!];
  const roomS = Math.min(before.endS - before.startS, after.endS - after.startS);
  const durationS = optional(scan, 'DiffusionGradientDuration') ?? roomS;
  const separationS =
    optional(scan, 'DiffusionGradientSeparation') ?? after.startS - (before.endS - durationS);
  const startS = after.startS - separationS;
  if (durationS > roomS || startS < before.startS) return [];
  return [
    { startS, durationS, played: 1, felt: 1 },
    { startS: startS + separationS, durationS, played: 1, felt: -1 },
  ];
}

/** Four lobes that fill the three waits, the middle one in halves. */
function four(scan: Scan, { windows }: SpinEchoShot): readonly Place[] {
  for (const name of ['DiffusionGradientDuration', 'DiffusionGradientSeparation'] as const) {
    const value = optional(scan, name);
    if (value === undefined) continue;
    throw new UnplayableError(
      name,
      `${name} ${formatTime(value)} in a double-refocused scan, whose four lobes follow from the echo time`,
      'no such field',
      `Remove ${name}, or DoubleRefocused.`,
    );
  }
  const [first, middle, last] = [windows[0]!, windows[1]!, windows[2]!];
  const outerS = first.endS - first.startS;
  const innerS = (middle.endS - middle.startS) / 2;
  return [
    { startS: first.startS, durationS: outerS, played: 1, felt: 1 },
    { startS: middle.startS, durationS: innerS, played: -1, felt: 1 },
    { startS: middle.startS + innerS, durationS: innerS, played: 1, felt: -1 },
    { startS: last.startS, durationS: outerS, played: -1, felt: -1 },
  ];
}

/** Amplitude and ramp of the lobes; undefined where the gradients are too weak or a time too short. */
function strengthOf(
  scan: Scan,
  bValue: number,
  places: readonly Place[],
  limits: GradientLimits,
): { readonly amplitude: number; readonly rampS: number } | undefined {
  if (places.length === 0) return undefined;
  const slewRate = limits.slewRate * SLEW_SHARE * 1e3;
  const shortestS = Math.min(...places.map(({ durationS }) => durationS));
  const fixed = optional(scan, 'DiffusionGradientAmplitude');
  // A lobe weighs like a rectangle shorter by one ramp, and the ramp depends on the amplitude.
  let rampS = limits.amplitude / slewRate;
  let amplitude = fixed ?? limits.amplitude;
  for (let round = 0; round < 8; round++) {
    if (shortestS <= rampS) return undefined;
    const pulses = places.map(({ startS, durationS, felt }): EffectivePulse => ({
      startS: startS + rampS / 2,
      durationS: durationS - rampS,
      sign: felt,
    }));
    amplitude = fixed ?? diffusionGradient(bValue, pulses);
    rampS = Math.min(amplitude, limits.amplitude) / slewRate;
  }
  return amplitude > limits.amplitude || shortestS < 2 * rampS ? undefined : { amplitude, rampS };
}

function optional(
  scan: Scan,
  name: 'DiffusionGradientDuration' | 'DiffusionGradientSeparation' | 'DiffusionGradientAmplitude',
): number | undefined {
  const value = scan.fields[name]?.value;
  return typeof value === 'number' ? value : undefined;
}
