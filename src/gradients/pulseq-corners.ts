/**
 * Corners of a waveform that is put together from events, one after another.
 *
 * @module
 */
import type { Waveform } from './timeline.js';

/** Corners nearer than this are at one time, in s: a ten-thousandth of the finest raster. */
export const SAME_CORNER_S = 1e-10;

export class CornerList {
  private timesS = new Float64Array(64);
  private amplitudes = new Float64Array(64);
  private count = 0;

  /**
   * Adds an event that starts at a time. Between events the gradient is zero; where one begins as it
   * ends another, both share a corner, or step if they differ.
   *
   * @param first - Amplitude at its first corner, where the event itself does not know it.
   * @param last - Amplitude at its last corner, likewise.
   */
  append({ timesS, amplitudes }: Waveform, startS: number, first?: number, last?: number): void {
    const end = timesS.length - 1;
    const begin = startS + timesS[0]!;
    if (this.count === 0 || begin > this.lastS + SAME_CORNER_S) {
      this.close();
      if ((first ?? amplitudes[0]!) !== 0) this.push(begin, 0);
    }
    for (let i = 0; i <= end; i++) {
      const known = i === 0 ? first : i === end ? last : undefined;
      this.push(startS + timesS[i]!, known ?? amplitudes[i]!);
    }
  }

  /** The stretch from one time to another, which become 0 and its length; undefined where silent. */
  stretch(fromS: number, toS: number): Waveform | undefined {
    this.close();
    const lengthS = toS - fromS;
    const begin = this.after(fromS);
    const end = this.after(toS);
    const timesS = new Float64Array(end - begin + 2);
    const amplitudes = new Float64Array(end - begin + 2);
    let count = 0;
    const put = (timeS: number, amplitude: number): void => {
      timesS[count] = timeS;
      amplitudes[count++] = amplitude;
    };
    put(0, this.valueBefore(begin, fromS));
    for (let i = begin; i < end; i++) {
      // A corner at the very end is put there exactly.
      put(Math.min(this.timesS[i]! - fromS, lengthS), this.amplitudes[i]!);
    }
    if (timesS[count - 1]! < lengthS - SAME_CORNER_S) put(lengthS, this.valueBefore(end, toS));
    else timesS[count - 1] = lengthS;
    const waveform = {
      timesS: timesS.subarray(0, count),
      amplitudes: amplitudes.subarray(0, count),
    };
    return waveform.amplitudes.every(amplitude => amplitude === 0) ? undefined : waveform;
  }

  private get lastS(): number {
    return this.timesS[this.count - 1]!;
  }

  /** Steps to zero where the last event ended otherwise. */
  private close(): void {
    if (this.count > 0 && this.amplitudes[this.count - 1] !== 0) this.push(this.lastS, 0);
  }

  private push(timeS: number, amplitude: number): void {
    let at = timeS;
    if (this.count > 0 && timeS < this.lastS + SAME_CORNER_S) {
      // Exactly the same time, so that a step is seen as one.
      at = this.lastS;
      if (this.amplitudes[this.count - 1] === amplitude) return;
    }
    if (this.count === this.timesS.length) {
      this.timesS = grown(this.timesS);
      this.amplitudes = grown(this.amplitudes);
    }
    this.timesS[this.count] = at;
    this.amplitudes[this.count++] = amplitude;
  }

  /** Number of the first corner later than a time. */
  private after(timeS: number): number {
    let low = 0;
    let high = this.count;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.timesS[middle]! > timeS + SAME_CORNER_S) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /** Amplitude at a time, as the line leaves it; corner `next` is the first later than it. */
  private valueBefore(next: number, timeS: number): number {
    if (next === 0 || next === this.count) return 0;
    const [fromS, toS] = [this.timesS[next - 1]!, this.timesS[next]!];
    const [from, to] = [this.amplitudes[next - 1]!, this.amplitudes[next]!];
    return timeS <= fromS ? from : from + ((timeS - fromS) / (toS - fromS)) * (to - from);
  }
}

function grown(values: Float64Array): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(2 * values.length);
  larger.set(values);
  return larger;
}
