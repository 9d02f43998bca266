/** What a segment plays on one axis, its layers added up, and what can be read from that. */
import { expect } from 'vitest';
import { AXES, type Axis, type Segment, type Waveform } from '../../src/gradients/timeline.js';

/** The sum of a segment's layers on an axis, at every corner of any of them. */
export function playedWaveform({ layers }: Segment, axis: Axis): Waveform {
  const parts = layers.flatMap(({ block, gain }) => {
    const waveform = block[axis];
    return waveform === undefined ? [] : [{ waveform, gain, at: 0 }];
  });
  const times = new Set(parts.flatMap(({ waveform }) => [...waveform.timesSeconds]));
  const timesSeconds = Float64Array.from(times).sort();
  const amplitudes = timesSeconds.map(timeSeconds =>
    parts.reduce((sum, part) => sum + part.gain * amplitudeOf(part, timeSeconds), 0),
  );
  return { timesSeconds, amplitudes };
}

/** Corners nearer than this are one corner, in s; a gradient that changes there by more than 0.001 mT/m steps. */
const SAME_CORNER_SECONDS = 1e-9;

/** Highest amplitude in mT/m and slew rate in T/m/s of a waveform. */
export function extremesOf({ timesSeconds, amplitudes }: Waveform): {
  readonly amplitude: number;
  readonly slewRate: number;
} {
  let [amplitude, slewRate] = [0, 0];
  for (let i = 0; i < timesSeconds.length; i++) {
    amplitude = Math.max(amplitude, Math.abs(amplitudes[i]!));
    if (i === 0) continue;
    const change = Math.abs(amplitudes[i]! - amplitudes[i - 1]!);
    const lengthSeconds = timesSeconds[i]! - timesSeconds[i - 1]!;
    if (lengthSeconds >= SAME_CORNER_SECONDS)
      slewRate = Math.max(slewRate, change / lengthSeconds / 1e3);
    else if (change > 1e-3) slewRate = Infinity;
  }
  return { amplitude, slewRate };
}

/** Time integral of a waveform in mT/m s. */
export function areaBetween(waveform: Waveform, fromSeconds: number, toSeconds: number): number {
  const { timesSeconds } = waveform;
  const corners = [
    fromSeconds,
    ...timesSeconds.filter(timeSeconds => timeSeconds > fromSeconds && timeSeconds < toSeconds),
    toSeconds,
  ];
  const values = corners.map(timeSeconds => amplitudeAt(waveform, timeSeconds));
  return corners.reduce(
    (sum, timeSeconds, i) =>
      i === 0 ? 0 : sum + ((timeSeconds - corners[i - 1]!) * (values[i]! + values[i - 1]!)) / 2,
    0,
  );
}

/** Amplitude of a waveform at a time in s. */
export const amplitudeAt = (waveform: Waveform, timeSeconds: number): number =>
  amplitudeOf({ waveform, at: 0 }, timeSeconds);

/** All axes of a segment. */
export const playedAxes = (segment: Segment): readonly Waveform[] =>
  AXES.map(axis => playedWaveform(segment, axis));

/** Amplitude at a time, for times that mostly rise: `at` is the corner that was looked at last. */
function amplitudeOf(
  part: { readonly waveform: Waveform; at: number },
  timeSeconds: number,
): number {
  const { timesSeconds, amplitudes } = part.waveform;
  if (
    timesSeconds.length === 0 ||
    timeSeconds < timesSeconds[0]! ||
    timeSeconds > timesSeconds.at(-1)!
  )
    return 0;
  if (timesSeconds[part.at]! > timeSeconds) part.at = 0;
  while (part.at + 1 < timesSeconds.length && timesSeconds[part.at + 1]! <= timeSeconds)
    part.at += 1;
  if (part.at + 1 === timesSeconds.length) return amplitudes[part.at]!;
  const [fromSeconds, toSeconds] = [timesSeconds[part.at]!, timesSeconds[part.at + 1]!];
  const share = (timeSeconds - fromSeconds) / (toSeconds - fromSeconds);
  return amplitudes[part.at]! + share * (amplitudes[part.at + 1]! - amplitudes[part.at]!);
}

/**
 * Checks that a scan's gradients stay within the scanner's limits, all layers together, and are there at
 * all.
 *
 * @param limits - mT/m and T/m/s.
 */
export function expectWithinLimits(
  segments: readonly Segment[],
  limits: { readonly amplitude: number; readonly slewRate: number },
): void {
  let highest = 0;
  for (const waveform of segments.flatMap(playedAxes)) {
    const { amplitude, slewRate } = extremesOf(waveform);
    expect(amplitude).toBeLessThanOrEqual(limits.amplitude * (1 + SLOPE_ROUNDING));
    expect(slewRate).toBeLessThanOrEqual(limits.slewRate * (1 + SLOPE_ROUNDING));
    highest = Math.max(highest, amplitude);
  }
  expect(highest).toBeGreaterThan(1);
}

/** Sums of thousands of slopes leave this much of a limit. */
const SLOPE_ROUNDING = 1e-6;
