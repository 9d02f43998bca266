/** Amplitude of a piecewise-linear waveform at a time, by looking for the corner: slow and plain. */
import type { Waveform } from '../../src/gradients/timeline.js';

/** In mT/m; zero outside the waveform, and for none. At a step, what comes after it. */
export function waveformAt(waveform: Waveform | undefined, timeS: number): number {
  if (waveform === undefined) return 0;
  const { timesS, amplitudes } = waveform;
  const next = timesS.findIndex(t => t > timeS);
  if (next === 0) return 0;
  if (next === -1) return timesS.at(-1) === timeS ? amplitudes.at(-1)! : 0;
  const share = (timeS - timesS[next - 1]!) / (timesS[next]! - timesS[next - 1]!);
  return amplitudes[next - 1]! + share * (amplitudes[next]! - amplitudes[next - 1]!);
}
