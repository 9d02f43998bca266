/**
 * Exact sampling of a piecewise-linear waveform.
 *
 * A sample is the area of the waveform under a cubic B-spline kernel around the sample's time, in
 * closed form, so that corners keep their place between samples and nothing aliases: an image of
 * frequency f from the other side of the sample rate is down by more than `(f / (fs - f))^6`
 * (196 dB at 1 kHz, 107 dB at 5 kHz, at 44.1 kHz), kernel and the waveform's own decay together.
 * The kernel's own gain, `sinc(f / fs)^4`, is taken out again by {@link samplingGain}.
 *
 * How: a waveform is a sum of ramps, one for every change of slope; the second difference of a ramp
 * seen through the kernel is a quintic B-spline, six samples wide; two running sums give the ramps
 * back. A step is a ramp's derivative and works alike with the quartic B-spline.
 *
 * @module
 */
import type { Waveform } from '../gradients/timeline.js';

export interface Sampling {
  readonly sampleRateHz: number;
  /** Number of samples to return; sample n is at time (n - lead) / sampleRateHz. */
  readonly length: number;
  /** Samples before time 0; 0 unless given. The kernel reaches three samples back: with fewer, what it has there is lost. */
  readonly lead?: number;
  /** How often the waveform is repeated, and after how many s; once unless given. */
  readonly count?: number;
  readonly periodSeconds?: number;
  /** Room to work in, for callers that sample often: at least {@link MARGIN} longer than `length`. */
  readonly scratch?: Float64Array;
}

/**
 * Samples of a waveform.
 *
 * @param waveform - Corner times in s, amplitudes in mT/m.
 * @returns Amplitudes in mT/m through the kernel, shape `[length]`; in `scratch` if that was given.
 */
export function sampleWaveform(waveform: Waveform, sampling: Sampling): Float64Array {
  const { sampleRateHz, length, lead = 0, count = 1, periodSeconds = 0, scratch } = sampling;
  const samples = (scratch ?? new Float64Array(length + MARGIN)).subarray(0, length + MARGIN);
  if (scratch !== undefined) samples.fill(0);
  for (let repeat = 0; repeat < count; repeat++) {
    depositCorners(samples, waveform, sampleRateHz, repeat * periodSeconds + lead / sampleRateHz);
  }
  const endSeconds = (count - 1) * periodSeconds + waveform.timesSeconds.at(-1)!;
  // After its end a waveform is zero, as is everything here.
  const end = Math.min(samples.length, Math.ceil(endSeconds * sampleRateHz) + lead + 2 * MARGIN);
  let slope = 0;
  let value = 0;
  for (let n = 0; n < end; n++) {
    slope += samples[n]!;
    samples[n] = value += slope;
  }
  // The two running sums each read one sample late against the centred second difference.
  return samples.subarray(MARGIN - 1, MARGIN - 1 + length);
}

/** Gain of the sampling kernel at a frequency: divide a spectrum of samples by it. */
export function samplingGain(hertz: number, sampleRateHz: number): number {
  const x = (Math.PI * hertz) / sampleRateHz;
  return x === 0 ? 1 : (Math.sin(x) / x) ** 4;
}

/** Samples kept in front of the first, so that no corner is lost. */
export const MARGIN = 4;

/** Adds second differences of everything that bends or steps. */
function depositCorners(
  target: Float64Array,
  { timesSeconds, amplitudes }: Waveform,
  sampleRateHz: number,
  offsetSeconds: number,
): void {
  const last = timesSeconds.length - 1;
  let slopeBefore = 0;
  let levelBefore = 0;
  for (let i = 0; i <= last; i++) {
    const timeSeconds = timesSeconds[i]!;
    const at = (timeSeconds + offsetSeconds) * sampleRateHz + MARGIN;
    const step =
      i === 0
        ? amplitudes[0]!
        : timesSeconds[i - 1] === timeSeconds
          ? amplitudes[i]! - levelBefore
          : 0;
    if (step !== 0) depositStep(target, at, step);
    levelBefore = amplitudes[i]!;
    if (i < last && timesSeconds[i + 1] === timeSeconds) continue;
    const slope =
      i === last
        ? 0
        : (amplitudes[i + 1]! - amplitudes[i]!) /
          (timesSeconds[i + 1]! - timeSeconds) /
          sampleRateHz;
    if (slope !== slopeBefore) depositBend(target, at, slope - slopeBefore);
    slopeBefore = slope;
  }
  if (amplitudes[last] !== 0) {
    depositStep(
      target,
      (timesSeconds[last]! + offsetSeconds) * sampleRateHz + MARGIN,
      -amplitudes[last]!,
    );
  }
}

/**
 * A change of slope by `bend` per sample at a place in samples: six samples of the cardinal B-spline
 * of degree 5, `(3 - |x|)^5 - 6 (2 - |x|)^5 + 15 (1 - |x|)^5` over 120, a term for where its base is
 * positive. Written out, since every corner comes through here: twelve times as fast as a call for each.
 */
function depositBend(target: Float64Array, at: number, bend: number): void {
  const base = Math.floor(at);
  const first = base - 2;
  if (first < 0 || first + 5 >= target.length) {
    depositBendAtEnd(target, at, bend);
    return;
  }
  const u = at - base;
  const v = 1 - u;
  const scale = bend / 120;
  const [u1, u2, u3] = [fifthPower(u), fifthPower(1 + u), fifthPower(2 + u)];
  const [v1, v2, v3] = [fifthPower(v), fifthPower(1 + v), fifthPower(2 + v)];
  target[first]! += scale * v1;
  target[first + 1]! += scale * (v2 - 6 * v1);
  target[first + 2]! += scale * (v3 - 6 * v2 + 15 * v1);
  target[first + 3]! += scale * (u3 - 6 * u2 + 15 * u1);
  target[first + 4]! += scale * (u2 - 6 * u1);
  target[first + 5]! += scale * u1;
}

const fifthPower = (x: number): number => x * x * (x * x) * x;

/** {@link depositBend} where some of the samples lie outside. */
function depositBendAtEnd(target: Float64Array, at: number, bend: number): void {
  const first = Math.max(0, Math.ceil(at - 3));
  const end = Math.min(target.length - 1, Math.floor(at + 3));
  for (let n = first; n <= end; n++) target[n]! += bend * quinticSpline(n - at);
}

/** A jump by `step` at a place in samples. */
function depositStep(target: Float64Array, at: number, step: number): void {
  const first = Math.max(0, Math.ceil(at - 3));
  const end = Math.min(target.length - 1, Math.floor(at + 3));
  for (let n = first; n <= end; n++) {
    target[n]! += step * (quarticSpline(n - at + 0.5) - quarticSpline(n - at - 0.5));
  }
}

/** Cardinal B-spline of degree 5, support (-3, 3). */
function quinticSpline(x: number): number {
  const u = Math.abs(x);
  if (u >= 3) return 0;
  let sum = (3 - u) ** 5;
  if (u < 2) sum -= 6 * (2 - u) ** 5;
  if (u < 1) sum += 15 * (1 - u) ** 5;
  return sum / 120;
}

/** Cardinal B-spline of degree 4, support (-2.5, 2.5). */
function quarticSpline(x: number): number {
  const u = Math.abs(x);
  if (u >= 2.5) return 0;
  let sum = (2.5 - u) ** 4;
  if (u < 1.5) sum -= 5 * (1.5 - u) ** 4;
  if (u < 0.5) sum += 10 * (0.5 - u) ** 4;
  return sum / 24;
}
