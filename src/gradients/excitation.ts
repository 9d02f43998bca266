/**
 * Pulses as the gradients see them: slice selection with its rephasing, refocusing between
 * crushers, fat saturation and inversion with their spoilers.
 *
 * Every function draws into a builder and returns when the gradients are free again, in s.
 *
 * @module
 */
import type { BlockBuilder } from './block-builder.js';
import type { GradientLimits } from './hardware.js';
import {
  type Lobe,
  lobeArea,
  lobeDurationSeconds,
  lobeWithin,
  plateauLobe,
  shortestLobe,
} from './lobes.js';
import { sliceGradient } from './physics.js';

/** A slice-selective pulse. */
export interface SelectivePulse {
  readonly durationSeconds: number;
  /** Bandwidth times duration: 2.7 to 5 for common sinc-like pulses (common practice, no source). */
  readonly timeBandwidth: number;
  readonly thicknessMm: number;
}

/** The slice-select lobe of a pulse, its plateau as long as the pulse. */
export function selectionLobe(pulse: SelectivePulse, limits: GradientLimits): Lobe {
  const wanted = sliceGradient(pulse.timeBandwidth / pulse.durationSeconds, pulse.thicknessMm);
  // Beyond this, scanners stretch the pulse's bandwidth instead of the gradient (variable-rate pulses).
  const amplitude = Math.min(wanted, 0.8 * limits.amplitude);
  return plateauLobe(amplitude, pulse.durationSeconds, limits);
}

/** Half of the length of a pulse with its slice-select lobe, in s. */
export const halfSelectionSeconds = (pulse: SelectivePulse, limits: GradientLimits): number =>
  lobeDurationSeconds(selectionLobe(pulse, limits)) / 2;

/** The lobe that rephases the slice after a pulse: half of the selection's area, reversed. */
export function rephasingLobe(pulse: SelectivePulse, limits: GradientLimits): Lobe {
  return shortestLobe(-lobeArea(selectionLobe(pulse, limits)) / 2, limits);
}

/** Slice selection around a pulse centred at a time. */
export function addSelection(
  builder: BlockBuilder,
  pulse: SelectivePulse,
  centreSeconds: number,
  limits: GradientLimits,
): number {
  return builder.addCentred('slice', selectionLobe(pulse, limits), centreSeconds);
}

/** Areas of spoilers and crushers in mT/m s: several turns of phase over a voxel. Common practice, no source. */
export const CRUSHER_AREA = 0.02;
const FAT_SPOILER_AREA = 0.05;
const INVERSION_SPOILER_AREA = 0.2;

/** Spoilers are not in a hurry: they keep below these limits, in mT/m and T/m/s. Common practice, no source. */
const SPOILER_LIMITS: GradientLimits = { amplitude: 30, slewRate: 120 };

/** Fat-saturation pulse: usual length and shortest, in s. Common practice, no source. */
export const FAT_PULSE_SECONDS = { usual: 0.008, shortest: 0.004 };

/** Inversion: an adiabatic pulse of 10 ms, then a 10 ms spoiler (an open sequence library's values). */
const INVERSION_PULSE_SECONDS = 0.01;
const INVERSION_SPOILER_SECONDS = 0.01;

/** Bandwidth times duration of an inversion that selects a slice. Common practice, no source. */
const INVERSION_TIME_BANDWIDTH = 15;

/** Length of a crusher beside a refocusing pulse, in s. */
export const crusherDurationSeconds = (limits: GradientLimits): number =>
  lobeDurationSeconds(shortestLobe(CRUSHER_AREA, limits));

/** A refocusing pulse centred at a time, between crushers. */
export function addRefocusing(
  builder: BlockBuilder,
  pulse: SelectivePulse,
  centreSeconds: number,
  limits: GradientLimits,
): number {
  const crusher = shortestLobe(CRUSHER_AREA, limits);
  const halfSeconds = halfSelectionSeconds(pulse, limits);
  addSelection(builder, pulse, centreSeconds, limits);
  builder.add('slice', crusher, centreSeconds - halfSeconds - lobeDurationSeconds(crusher));
  return builder.add('slice', crusher, centreSeconds + halfSeconds);
}

/** Spoiler of a fat-saturation pulse, on all three axes as is usual. */
const fatSpoiler = (limits: GradientLimits): Lobe =>
  shortestLobe(FAT_SPOILER_AREA, gentler(limits));

const gentler = (limits: GradientLimits): GradientLimits => ({
  amplitude: Math.min(limits.amplitude, SPOILER_LIMITS.amplitude),
  slewRate: Math.min(limits.slewRate, SPOILER_LIMITS.slewRate),
});

/** Length of fat saturation with a pulse of a given length, in s. */
export const fatSaturationSeconds = (pulseSeconds: number, limits: GradientLimits): number =>
  pulseSeconds + lobeDurationSeconds(fatSpoiler(limits));

/** Fat saturation from a time on: a silent pulse, then a spoiler that is heard as a soft thud. */
export function addFatSaturation(
  builder: BlockBuilder,
  startSeconds: number,
  pulseSeconds: number,
  limits: GradientLimits,
): number {
  const spoiler = fatSpoiler(limits);
  builder.add('read', spoiler, startSeconds + pulseSeconds, 0.5);
  return builder.add('slice', spoiler, startSeconds + pulseSeconds);
}

/**
 * Inversion from a time on: a pulse, then one long spoiler. The pulse is silent where it inverts
 * everything, and has a slice gradient where it inverts a slice of a thickness.
 */
export function addInversion(
  builder: BlockBuilder,
  startSeconds: number,
  limits: GradientLimits,
  thicknessMm?: number,
): { readonly pulseCentreSeconds: number; readonly endSeconds: number } {
  const spoiler =
    lobeWithin(INVERSION_SPOILER_AREA, INVERSION_SPOILER_SECONDS, limits) ??
    shortestLobe(INVERSION_SPOILER_AREA, limits);
  const pulse = {
    durationSeconds: INVERSION_PULSE_SECONDS,
    timeBandwidth: INVERSION_TIME_BANDWIDTH,
  };
  const halfSeconds =
    thicknessMm === undefined
      ? INVERSION_PULSE_SECONDS / 2
      : halfSelectionSeconds({ ...pulse, thicknessMm }, limits);
  const pulseCentreSeconds = startSeconds + halfSeconds;
  if (thicknessMm !== undefined) {
    addSelection(builder, { ...pulse, thicknessMm }, pulseCentreSeconds, limits);
  }
  return {
    pulseCentreSeconds,
    endSeconds: builder.add('slice', spoiler, pulseCentreSeconds + halfSeconds),
  };
}

/** A spoiler at the end of a shot, on the slice axis. */
export function addShotSpoiler(
  builder: BlockBuilder,
  startSeconds: number,
  limits: GradientLimits,
): number {
  return builder.add('slice', fatSpoiler(limits), startSeconds);
}

/** Length of the spoiler at the end of a shot, in s. */
export const shotSpoilerSeconds = (limits: GradientLimits): number =>
  lobeDurationSeconds(fatSpoiler(limits));
