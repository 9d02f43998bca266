/** Amplitude of a piecewise-linear waveform at a time, by looking for the corner: slow and plain. */
import type { Waveform } from '../../src/gradients/timeline.js';

/** In mT/m; zero outside the waveform, and for none. At a step, what comes after it. */
export function waveformAt(waveform: Waveform | undefined, timeSeconds: number): number {
  if (waveform === undefined) return 0;
  const { timesSeconds, amplitudes } = waveform;
  const next = timesSeconds.findIndex(t => t > timeSeconds);
  if (next === 0) return 0;
  if (next === -1) return timesSeconds.at(-1) === timeSeconds ? amplitudes.at(-1)! : 0;
  const share =
    (timeSeconds - timesSeconds[next - 1]!) / (timesSeconds[next]! - timesSeconds[next - 1]!);
  return amplitudes[next - 1]! + share * (amplitudes[next]! - amplitudes[next - 1]!);
}
