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
  readonly startSeconds: number;
  readonly durationSeconds: number;
  /** As it is played, and as the spins feel it after all refocusing pulses. */
  readonly played: 1 | -1;
  readonly felt: 1 | -1;
}

/** A lobe and when it starts, in s. */
export interface PlacedLobe {
  readonly lobe: Lobe;
  readonly startSeconds: number;
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
    const roomSeconds = Math.min(
      ...shot.windows.map(({ startSeconds, endSeconds }) => endSeconds - startSeconds),
    );
    throw new UnplayableError(
      'DiffusionBValues',
      `b = ${bValue} s/mm2 at an echo time of ${formatTime(numberField(scan, 'EchoTime'))} leaves ` +
        `${formatTime(Math.max(0, roomSeconds))} for each lobe, which ${limits.amplitude} mT/m cannot make`,
      'a longer EchoTime, a lower b-value, a shorter readout train or stronger gradients',
      'Check EchoTime, DiffusionBValues, PartialFourier, EchoTrainLength and MaximumGradientAmplitude.',
    );
  }
  const { amplitude, rampSeconds } = shape;
  return places.map(({ startSeconds, durationSeconds, played }) => ({
    startSeconds,
    lobe: {
      amplitude: played * amplitude,
      rampSeconds,
      flatSeconds: durationSeconds - 2 * rampSeconds,
    },
  }));
}

/** Two lobes, as long as the shorter wait allows, as near to the refocusing pulse as can be. */
function pair(scan: Scan, { windows }: SpinEchoShot): readonly Place[] {
  const [before, after] = [windows[0]!, windows[1]!];
  const roomSeconds = Math.min(
    before.endSeconds - before.startSeconds,
    after.endSeconds - after.startSeconds,
  );
  const durationSeconds = optional(scan, 'DiffusionGradientDuration') ?? roomSeconds;
  const separationSeconds =
    optional(scan, 'DiffusionGradientSeparation') ??
    after.startSeconds - (before.endSeconds - durationSeconds);
  const startSeconds = after.startSeconds - separationSeconds;
  if (durationSeconds > roomSeconds || startSeconds < before.startSeconds) return [];
  return [
    { startSeconds, durationSeconds, played: 1, felt: 1 },
    { startSeconds: startSeconds + separationSeconds, durationSeconds, played: 1, felt: -1 },
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
  const outerSeconds = first.endSeconds - first.startSeconds;
  const innerSeconds = (middle.endSeconds - middle.startSeconds) / 2;
  return [
    { startSeconds: first.startSeconds, durationSeconds: outerSeconds, played: 1, felt: 1 },
    { startSeconds: middle.startSeconds, durationSeconds: innerSeconds, played: -1, felt: 1 },
    {
      startSeconds: middle.startSeconds + innerSeconds,
      durationSeconds: innerSeconds,
      played: 1,
      felt: -1,
    },
    { startSeconds: last.startSeconds, durationSeconds: outerSeconds, played: -1, felt: -1 },
  ];
}

/** Amplitude and ramp of the lobes; undefined where the gradients are too weak or a time too short. */
function strengthOf(
  scan: Scan,
  bValue: number,
  places: readonly Place[],
  limits: GradientLimits,
): { readonly amplitude: number; readonly rampSeconds: number } | undefined {
  if (places.length === 0) return undefined;
  const slewRate = limits.slewRate * SLEW_SHARE * 1e3;
  const shortestSeconds = Math.min(...places.map(({ durationSeconds }) => durationSeconds));
  const fixed = optional(scan, 'DiffusionGradientAmplitude');
  // A lobe weighs like a rectangle shorter by one ramp, and the ramp depends on the amplitude.
  let rampSeconds = limits.amplitude / slewRate;
  let amplitude = fixed ?? limits.amplitude;
  for (let round = 0; round < 8; round++) {
    if (shortestSeconds <= rampSeconds) return undefined;
    const pulses = places.map(({ startSeconds, durationSeconds, felt }): EffectivePulse => ({
      startSeconds: startSeconds + rampSeconds / 2,
      durationSeconds: durationSeconds - rampSeconds,
      sign: felt,
    }));
    amplitude = fixed ?? diffusionGradient(bValue, pulses);
    rampSeconds = Math.min(amplitude, limits.amplitude) / slewRate;
  }
  return amplitude > limits.amplitude || shortestSeconds < 2 * rampSeconds
    ? undefined
    : { amplitude, rampSeconds };
}

function optional(
  scan: Scan,
  name: 'DiffusionGradientDuration' | 'DiffusionGradientSeparation' | 'DiffusionGradientAmplitude',
): number | undefined {
  const value = scan.fields[name]?.value;
  return typeof value === 'number' ? value : undefined;
}
