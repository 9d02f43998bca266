/**
 * Corners of a waveform that is put together from events, one after another.
 *
 * @module
 */
import type { Waveform } from './timeline.js';

/** Corners nearer than this are at one time, in s: a ten-thousandth of the finest raster. */
export const SAME_CORNER_SECONDS = 1e-10;

export class CornerList {
  private timesSeconds = new Float64Array(64);
  private amplitudes = new Float64Array(64);
  private count = 0;

  /**
   * Adds an event that starts at a time. Between events the gradient is zero; where one begins as it
   * ends another, both share a corner, or step if they differ.
   *
   * @param first - Amplitude at its first corner, where the event itself does not know it.
   * @param last - Amplitude at its last corner, likewise.
   */
  append(
    { timesSeconds, amplitudes }: Waveform,
    startSeconds: number,
    first?: number,
    last?: number,
  ): void {
    const end = timesSeconds.length - 1;
    const begin = startSeconds + timesSeconds[0]!;
    if (this.count === 0 || begin > this.lastSeconds + SAME_CORNER_SECONDS) {
      this.close();
      if ((first ?? amplitudes[0]!) !== 0) this.push(begin, 0);
    }
    for (let i = 0; i <= end; i++) {
      const known = i === 0 ? first : i === end ? last : undefined;
      this.push(startSeconds + timesSeconds[i]!, known ?? amplitudes[i]!);
    }
  }

  /** The stretch from one time to another, which become 0 and its length; undefined where silent. */
  stretch(fromSeconds: number, toSeconds: number): Waveform | undefined {
    this.close();
    const lengthSeconds = toSeconds - fromSeconds;
    const begin = this.after(fromSeconds);
    const end = this.after(toSeconds);
    const timesSeconds = new Float64Array(end - begin + 2);
    const amplitudes = new Float64Array(end - begin + 2);
    let count = 0;
    const put = (timeSeconds: number, amplitude: number): void => {
      timesSeconds[count] = timeSeconds;
      amplitudes[count++] = amplitude;
    };
    put(0, this.valueBefore(begin, fromSeconds));
    for (let i = begin; i < end; i++) {
      // A corner at the very end is put there exactly.
      put(Math.min(this.timesSeconds[i]! - fromSeconds, lengthSeconds), this.amplitudes[i]!);
    }
    if (timesSeconds[count - 1]! < lengthSeconds - SAME_CORNER_SECONDS)
      put(lengthSeconds, this.valueBefore(end, toSeconds));
    else timesSeconds[count - 1] = lengthSeconds;
    const waveform = {
      timesSeconds: timesSeconds.subarray(0, count),
      amplitudes: amplitudes.subarray(0, count),
    };
    return waveform.amplitudes.every(amplitude => amplitude === 0) ? undefined : waveform;
  }

  private get lastSeconds(): number {
    return this.timesSeconds[this.count - 1]!;
  }

  /** Steps to zero where the last event ended otherwise. */
  private close(): void {
    if (this.count > 0 && this.amplitudes[this.count - 1] !== 0) this.push(this.lastSeconds, 0);
  }

  private push(timeSeconds: number, amplitude: number): void {
    let at = timeSeconds;
    if (this.count > 0 && timeSeconds < this.lastSeconds + SAME_CORNER_SECONDS) {
      // Exactly the same time, so that a step is seen as one.
      at = this.lastSeconds;
      if (this.amplitudes[this.count - 1] === amplitude) return;
    }
    if (this.count === this.timesSeconds.length) {
      this.timesSeconds = grown(this.timesSeconds);
      this.amplitudes = grown(this.amplitudes);
    }
    this.timesSeconds[this.count] = at;
    this.amplitudes[this.count++] = amplitude;
  }

  /** Number of the first corner later than a time. */
  private after(timeSeconds: number): number {
    let low = 0;
    let high = this.count;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.timesSeconds[middle]! > timeSeconds + SAME_CORNER_SECONDS) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /** Amplitude at a time, as the line leaves it; corner `next` is the first later than it. */
  private valueBefore(next: number, timeSeconds: number): number {
    if (next === 0 || next === this.count) return 0;
    const [fromSeconds, toSeconds] = [this.timesSeconds[next - 1]!, this.timesSeconds[next]!];
    const [from, to] = [this.amplitudes[next - 1]!, this.amplitudes[next]!];
    return timeSeconds <= fromSeconds
      ? from
      : from + ((timeSeconds - fromSeconds) / (toSeconds - fromSeconds)) * (to - from);
  }
}

function grown(values: Float64Array): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(2 * values.length);
  larger.set(values);
  return larger;
}
