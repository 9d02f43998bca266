/** What a segment plays on one axis, its layers added up, and what can be read from that. */
import { expect } from 'vitest';
import { AXES, type Axis, type Segment, type Waveform } from '../../src/gradients/timeline.js';

/** The sum of a segment's layers on an axis, at every corner of any of them. */
export function playedWaveform({ layers }: Segment, axis: Axis): Waveform {
  const parts = layers.flatMap(({ block, gain }) => {
    const waveform = block[axis];
    return waveform === undefined ? [] : [{ waveform, gain, at: 0 }];
  });
  const times = new Set(parts.flatMap(({ waveform }) => [...waveform.timesS]));
  const timesS = Float64Array.from(times).sort();
  const amplitudes = timesS.map(timeS =>
    parts.reduce((sum, part) => sum + part.gain * amplitudeOf(part, timeS), 0),
  );
  return { timesS, amplitudes };
}

/** Corners nearer than this are one corner, in s; a gradient that changes there by more than 0.001 mT/m steps. */
const SAME_CORNER_S = 1e-9;

/** Highest amplitude in mT/m and slew rate in T/m/s of a waveform. */
export function extremesOf({ timesS, amplitudes }: Waveform): {
  readonly amplitude: number;
  readonly slewRate: number;
} {
  let [amplitude, slewRate] = [0, 0];
  for (let i = 0; i < timesS.length; i++) {
    amplitude = Math.max(amplitude, Math.abs(amplitudes[i]!));
    if (i === 0) continue;
    const change = Math.abs(amplitudes[i]! - amplitudes[i - 1]!);
    const lengthS = timesS[i]! - timesS[i - 1]!;
    if (lengthS >= SAME_CORNER_S) slewRate = Math.max(slewRate, change / lengthS / 1e3);
    else if (change > 1e-3) slewRate = Infinity;
  }
  return { amplitude, slewRate };
}

/** Time integral of a waveform in mT/m s. */
export function areaBetween(waveform: Waveform, fromS: number, toS: number): number {
  const { timesS } = waveform;
  const corners = [fromS, ...timesS.filter(timeS => timeS > fromS && timeS < toS), toS];
  const values = corners.map(timeS => amplitudeAt(waveform, timeS));
  return corners.reduce(
    (sum, timeS, i) =>
      i === 0 ? 0 : sum + ((timeS - corners[i - 1]!) * (values[i]! + values[i - 1]!)) / 2,
    0,
  );
}

/** Amplitude of a waveform at a time in s. */
export const amplitudeAt = (waveform: Waveform, timeS: number): number =>
  amplitudeOf({ waveform, at: 0 }, timeS);

/** All axes of a segment. */
export const playedAxes = (segment: Segment): readonly Waveform[] =>
  AXES.map(axis => playedWaveform(segment, axis));

/** Amplitude at a time, for times that mostly rise: `at` is the corner that was looked at last. */
function amplitudeOf(part: { readonly waveform: Waveform; at: number }, timeS: number): number {
  const { timesS, amplitudes } = part.waveform;
  if (timesS.length === 0 || timeS < timesS[0]! || timeS > timesS.at(-1)!) return 0;
  if (timesS[part.at]! > timeS) part.at = 0;
  while (part.at + 1 < timesS.length && timesS[part.at + 1]! <= timeS) part.at += 1;
  if (part.at + 1 === timesS.length) return amplitudes[part.at]!;
  const [fromS, toS] = [timesS[part.at]!, timesS[part.at + 1]!];
  const share = (timeS - fromS) / (toS - fromS);
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
