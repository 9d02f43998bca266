/**
 * Waveforms that go on from segment to segment.
 *
 * Every segment is computed alone and placed to the nearest sample. Where a gradient is on across a
 * border, the step down at the end of one and the step up at the start of the next would not quite
 * cancel, and click. So the later one is faded in, and the fade is made up for by the earlier one, which
 * dies away after its end: the sum is the same, and nothing steps.
 *
 * @module
 */
import type { Waveform } from '../gradients/timeline.js';

/** Length of a fade in s: far longer than a sample; segments that go on last longer. */
const FADE_SECONDS = 0.1;

/** Ends that lie this near to the border, in s, lie on it: a thousandth of a gradient raster. */
const BORDER_SECONDS = 1e-8;

/** A waveform with its fades; as it is where it is zero at both borders of its segment. */
export function continuedWaveform(waveform: Waveform, durationSeconds: number): Waveform {
  const { timesSeconds, amplitudes } = waveform;
  const first = timesSeconds[0]! <= BORDER_SECONDS ? amplitudes[0]! : 0;
  const last = timesSeconds.at(-1)! >= durationSeconds - BORDER_SECONDS ? amplitudes.at(-1)! : 0;
  if (first === 0 && last === 0) return waveform;
  const fadeSeconds = Math.min(FADE_SECONDS, durationSeconds);
  const faded = first === 0 ? waveform : withoutStart(waveform, first, fadeSeconds);
  if (last === 0) return faded;
  return {
    timesSeconds: withLast(faded.timesSeconds, durationSeconds + fadeSeconds),
    amplitudes: withLast(faded.amplitudes, 0),
  };
}

/** Takes off what falls evenly from `first` at the start to nothing after `fadeSeconds`. */
function withoutStart(
  { timesSeconds, amplitudes }: Waveform,
  first: number,
  fadeSeconds: number,
): Waveform {
  const times: number[] = [];
  const rest: number[] = [];
  const push = (timeSeconds: number, amplitude: number): void => {
    times.push(timeSeconds);
    rest.push(amplitude - first * Math.max(0, 1 - timeSeconds / fadeSeconds));
  };
  for (let i = 0; i < timesSeconds.length; i++) {
    const [timeSeconds, amplitude] = [timesSeconds[i]!, amplitudes[i]!];
    const beforeSeconds = timesSeconds[i - 1] ?? timeSeconds;
    if (beforeSeconds < fadeSeconds && timeSeconds > fadeSeconds) {
      const share = (fadeSeconds - beforeSeconds) / (timeSeconds - beforeSeconds);
      push(fadeSeconds, amplitudes[i - 1]! + share * (amplitude - amplitudes[i - 1]!));
    }
    push(timeSeconds, amplitude);
  }
  return { timesSeconds: Float64Array.from(times), amplitudes: Float64Array.from(rest) };
}

function withLast(values: Float64Array, last: number): Float64Array {
  const longer = new Float64Array(values.length + 1);
  longer.set(values);
  longer[values.length] = last;
  return longer;
}
