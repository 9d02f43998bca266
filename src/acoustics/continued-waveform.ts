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
const FADE_S = 0.1;

/** Ends that lie this near to the border, in s, lie on it: a thousandth of a gradient raster. */
const BORDER_S = 1e-8;

/** A waveform with its fades; as it is where it is zero at both borders of its segment. */
export function continuedWaveform(waveform: Waveform, durationS: number): Waveform {
  const { timesS, amplitudes } = waveform;
  const first = timesS[0]! <= BORDER_S ? amplitudes[0]! : 0;
  const last = timesS.at(-1)! >= durationS - BORDER_S ? amplitudes.at(-1)! : 0;
  if (first === 0 && last === 0) return waveform;
  const fadeS = Math.min(FADE_S, durationS);
  const faded = first === 0 ? waveform : withoutStart(waveform, first, fadeS);
  if (last === 0) return faded;
  return {
    timesS: withLast(faded.timesS, durationS + fadeS),
    amplitudes: withLast(faded.amplitudes, 0),
  };
}

/** Takes off what falls evenly from `first` at the start to nothing after `fadeS`. */
function withoutStart({ timesS, amplitudes }: Waveform, first: number, fadeS: number): Waveform {
  const times: number[] = [];
  const rest: number[] = [];
  const push = (timeS: number, amplitude: number): void => {
    times.push(timeS);
    rest.push(amplitude - first * Math.max(0, 1 - timeS / fadeS));
  };
  for (let i = 0; i < timesS.length; i++) {
    const [timeS, amplitude] = [timesS[i]!, amplitudes[i]!];
    const beforeS = timesS[i - 1] ?? timeS;
    if (beforeS < fadeS && timeS > fadeS) {
      const share = (fadeS - beforeS) / (timeS - beforeS);
      push(fadeS, amplitudes[i - 1]! + share * (amplitude - amplitudes[i - 1]!));
    }
    push(timeS, amplitude);
  }
  return { timesS: Float64Array.from(times), amplitudes: Float64Array.from(rest) };
}

function withLast(values: Float64Array, last: number): Float64Array {
  const longer = new Float64Array(values.length + 1);
  longer.set(values);
  longer[values.length] = last;
  return longer;
}
