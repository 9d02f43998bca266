/**
 * Rotation of the three gradients of a block together (the Pulseq extension ROTATIONS).
 *
 * @module
 */
import type { Quaternion } from '../formats/pulseq/sequence.js';
import type { Waveform } from './timeline.js';

/** One waveform per axis (x, y, z); undefined where there is none. */
export type AxisWaveforms = readonly (Waveform | undefined)[];

/** Corners nearer than this are one, in s: a ten-thousandth of the finest raster. */
const SAME_CORNER_SECONDS = 1e-10;

/**
 * Waveforms as a rotation turns them: `v' = q v q*` at every moment. Between corners all are straight,
 * so it is enough to turn them at every time where one of them has a corner.
 */
export function rotateWaveforms(waveforms: AxisWaveforms, rotation: Quaternion): AxisWaveforms {
  const present = waveforms.filter(waveform => waveform !== undefined);
  if (present.length === 0) return waveforms;
  const timesSeconds = cornerTimes(present);
  const values = waveforms.map(waveform =>
    waveform === undefined ? undefined : limitsAt(waveform, timesSeconds),
  );
  // Two corners at each time, before and after it; at both ends only what lies within.
  const twiceSeconds = new Float64Array(2 * timesSeconds.length);
  for (let i = 0; i < twiceSeconds.length; i++) twiceSeconds[i] = timesSeconds[i >> 1]!;
  return matrixOf(rotation).map(row => {
    const amplitudes = new Float64Array(twiceSeconds.length);
    for (const [axis, weight] of row.entries()) {
      const ofAxis = values[axis];
      if (ofAxis === undefined || weight === 0) continue;
      for (let i = 0; i < amplitudes.length; i++) amplitudes[i]! += weight * ofAxis[i]!;
    }
    return { timesSeconds: twiceSeconds.subarray(1, -1), amplitudes: amplitudes.subarray(1, -1) };
  });
}

/** The rotation matrix of a unit quaternion, by rows. */
function matrixOf([w, x, y, z]: Quaternion): readonly (readonly number[])[] {
  return [
    [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
    [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
    [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
  ];
}

/** Every time at which a waveform has a corner, once, rising. */
function cornerTimes(waveforms: readonly Waveform[]): readonly number[] {
  const all = waveforms
    .flatMap(({ timesSeconds }) => Array.from(timesSeconds))
    .sort((a, b) => a - b);
  return all.filter((timeSeconds, i) => i === 0 || timeSeconds - all[i - 1]! > SAME_CORNER_SECONDS);
}

/** Amplitudes just before and just after each time, shape `[2 x times]`. */
function limitsAt(
  { timesSeconds, amplitudes }: Waveform,
  wantedSeconds: readonly number[],
): Float64Array {
  const limits = new Float64Array(2 * wantedSeconds.length);
  let next = 0;
  for (const [i, timeSeconds] of wantedSeconds.entries()) {
    let before: number | undefined;
    let after: number | undefined;
    // All corners at this time: the first one is where the line arrives, the last where it leaves.
    while (next < timesSeconds.length && timesSeconds[next]! <= timeSeconds + SAME_CORNER_SECONDS) {
      before ??= next === 0 ? 0 : amplitudes[next]!;
      after = amplitudes[next]!;
      next += 1;
    }
    if (after !== undefined && next === timesSeconds.length) after = 0;
    limits[2 * i] = before ?? between(timesSeconds, amplitudes, next, timeSeconds);
    limits[2 * i + 1] = after ?? limits[2 * i]!;
  }
  return limits;
}

/** On the line that leads to corner `next`; zero outside the waveform. */
function between(
  timesSeconds: Float64Array,
  amplitudes: Float64Array,
  next: number,
  timeSeconds: number,
): number {
  if (next === 0 || next === timesSeconds.length) return 0;
  const share =
    (timeSeconds - timesSeconds[next - 1]!) / (timesSeconds[next]! - timesSeconds[next - 1]!);
  return amplitudes[next - 1]! + share * (amplitudes[next]! - amplitudes[next - 1]!);
}
