/**
 * Slices and multiband factor from `SliceTiming`: slices excited at once carry the same time.
 *
 * @module
 */
import { derived, given, type Sourced } from '../protocol/origin.js';
import { formatValue } from '../protocol/format-value.js';
import type { Sidecar } from './sidecar.js';

export interface SliceFinding {
  readonly slices: Sourced<number> | undefined;
  readonly multiband: Sourced<number> | undefined;
  readonly notes: readonly string[];
}

/** Times closer than this, in s, are the same: sidecars round to 0.0025 s at the coarsest, shots last 0.03 s or more. */
const SAME_SECONDS = 0.0015;

/** Length of a day, in s: times of slices that were taken before midnight of a clock wrap by it. */
const DAY_SECONDS = 86_400;

/** Most slices excited at once. */
const MAX_FACTOR = 16;

/**
 * Reads slices and multiband factor of an echo-planar sidecar.
 *
 * Only for echo-planar scans: the times of a multi-slice gradient echo repeat by rounding, and its
 * sidecar may claim a multiband factor that was never played.
 */
export function readSlices(sidecar: Sidecar): SliceFinding {
  const stated = statedFactor(sidecar);
  const times = sidecar.numbers('SliceTiming');
  if (times === undefined || times.length < 2) {
    return { slices: undefined, multiband: stated, notes: [] };
  }
  const slices = derived(times.length, `${times.length} entries of SliceTiming`);
  const { distinct, reason } = distinctTimes(times, sidecar.positive('RepetitionTime'));
  if (distinct === undefined) {
    return { slices, multiband: stated, notes: [`SliceTiming is not used for more: ${reason}.`] };
  }
  const factor = times.length / distinct;
  if (!Number.isInteger(factor) || factor > MAX_FACTOR) {
    const odd = `SliceTiming has ${distinct} times for ${times.length} slices, which is no multiband factor.`;
    return { slices, multiband: stated, notes: [odd] };
  }
  const counted = derived(
    factor,
    `${times.length} slices / ${distinct} distinct times in SliceTiming`,
  );
  if (stated !== undefined && stated.value !== factor) {
    const differ = `${stated.why} says ${stated.value}, but ${counted.why} is ${factor}; the count is used.`;
    return { slices, multiband: counted, notes: [differ] };
  }
  return { slices, multiband: stated ?? counted, notes: [] };
}

/** The factor as stated: in its own field, or as acceleration along the slices of a multiband scan. */
function statedFactor(sidecar: Sidecar): Sourced<number> | undefined {
  const isFactor = (value: number | undefined): value is number =>
    value !== undefined && Number.isInteger(value) && value >= 1 && value <= MAX_FACTOR;
  const own = sidecar.positive('MultibandAccelerationFactor');
  if (isFactor(own)) return given(own, sidecar.cite('MultibandAccelerationFactor'));
  const outOfPlane = sidecar.positive('ParallelReductionFactorOutOfPlane');
  const technique = sidecar.text('ParallelAcquisitionTechnique');
  if (isFactor(outOfPlane) && /^(MB|SMS)/i.test(technique)) {
    return derived(outOfPlane, 'ParallelReductionFactorOutOfPlane of a multiband technique');
  }
  return undefined;
}

function distinctTimes(
  times: readonly number[],
  repetitionSeconds: number | undefined,
): { distinct: number | undefined; reason: string } {
  const unwrapped = times.map(time => (time > DAY_SECONDS / 2 ? time - DAY_SECONDS : time));
  const first = Math.min(...unwrapped);
  const sorted = unwrapped.map(time => time - first).sort((a, b) => a - b);
  const last = sorted.at(-1)!;
  if (repetitionSeconds !== undefined && last > repetitionSeconds * 1.01) {
    const reason = `it reaches ${formatValue(last)} s, beyond RepetitionTime ${formatValue(repetitionSeconds)} s`;
    return { distinct: undefined, reason };
  }
  if (last <= SAME_SECONDS) return { distinct: undefined, reason: 'all its times are the same' };
  const distinct = sorted.filter(
    (time, i) => i === 0 || time - sorted[i - 1]! > SAME_SECONDS,
  ).length;
  return { distinct, reason: '' };
}
