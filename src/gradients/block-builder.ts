/**
 * Draws a gradient block from lobes on logical axes.
 *
 * A piecewise-linear waveform is kept as its changes of slope. Lobes that overlap simply add, and a
 * rotation to physical axes is a weighted sum of such lists.
 *
 * @module
 */
import { type Geometry, LOGICAL_AXES, type LogicalAxis } from './geometry.js';
import { type Lobe, lobeDurationSeconds } from './lobes.js';
import { AXES, type GradientBlock, type Waveform } from './timeline.js';

/** Corners nearer than this are one corner, in s: a thousandth of the shortest raster in use (1 us). */
const SAME_CORNER_SECONDS = 1e-9;

/** A change of slope: at a time in s, by mT/m/s. */
interface Bend {
  readonly timeSeconds: number;
  readonly slope: number;
}

export class BlockBuilder {
  private readonly bends: Readonly<Record<LogicalAxis, Bend[]>> = {
    read: [],
    phase: [],
    slice: [],
  };

  /** Adds a lobe that starts at a time, its amplitude multiplied by `scale`. Returns its end in s. */
  add(axis: LogicalAxis, lobe: Lobe, startSeconds: number, scale = 1): number {
    const { rampSeconds, flatSeconds } = lobe;
    const slope = (lobe.amplitude * scale) / rampSeconds;
    if (lobe.amplitude !== 0 && scale !== 0) {
      this.bends[axis].push(
        { timeSeconds: startSeconds, slope },
        { timeSeconds: startSeconds + rampSeconds, slope: -slope },
        { timeSeconds: startSeconds + rampSeconds + flatSeconds, slope: -slope },
        { timeSeconds: startSeconds + 2 * rampSeconds + flatSeconds, slope },
      );
    }
    return startSeconds + lobeDurationSeconds(lobe);
  }

  /** Adds a lobe whose middle lies at a time. Returns its end in s. */
  addCentred(axis: LogicalAxis, lobe: Lobe, centreSeconds: number, scale = 1): number {
    return this.add(axis, lobe, centreSeconds - lobeDurationSeconds(lobe) / 2, scale);
  }

  /** Adds a waveform of any shape that starts and ends at zero. */
  addWaveform(
    axis: LogicalAxis,
    { timesSeconds, amplitudes }: Waveform,
    startSeconds: number,
  ): void {
    let slope = 0;
    for (let i = 0; i < timesSeconds.length; i++) {
      const isLast = i === timesSeconds.length - 1;
      const next = isLast
        ? 0
        : (amplitudes[i + 1]! - amplitudes[i]!) / (timesSeconds[i + 1]! - timesSeconds[i]!);
      this.bends[axis].push({ timeSeconds: startSeconds + timesSeconds[i]!, slope: next - slope });
      slope = next;
    }
  }

  /** The waveforms on the physical axes. */
  build(geometry: Geometry): GradientBlock {
    const block: Partial<Record<(typeof AXES)[number], Waveform>> = {};
    for (const axis of AXES) {
      const bends = LOGICAL_AXES.flatMap(logical => {
        const weight = geometry[axis][logical];
        if (weight === 0) return [];
        return this.bends[logical].map(({ timeSeconds, slope }) => ({
          timeSeconds,
          slope: slope * weight,
        }));
      });
      if (bends.length > 0) block[axis] = waveformOf(bends);
    }
    return block;
  }
}

/** Integrates changes of slope to corner points. */
function waveformOf(bends: Bend[]): Waveform {
  bends.sort((a, b) => a.timeSeconds - b.timeSeconds);
  const times: number[] = [];
  const amplitudes: number[] = [];
  let amplitude = 0;
  let slope = 0;
  let lastSeconds = bends[0]!.timeSeconds;
  for (let i = 0; i < bends.length;) {
    const { timeSeconds } = bends[i]!;
    amplitude += slope * (timeSeconds - lastSeconds);
    lastSeconds = timeSeconds;
    while (i < bends.length && bends[i]!.timeSeconds - timeSeconds < SAME_CORNER_SECONDS) {
      slope += bends[i]!.slope;
      i += 1;
    }
    times.push(timeSeconds);
    amplitudes.push(amplitude);
  }
  // Every lobe returns to zero; what is left is the rounding of many sums.
  amplitudes[amplitudes.length - 1] = 0;
  return { timesSeconds: Float64Array.from(times), amplitudes: Float64Array.from(amplitudes) };
}
