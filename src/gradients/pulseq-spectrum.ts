/**
 * The strongest tones of a sequence's gradients, before any response: lines of the power spectrum of
 * their slopes, all axes together.
 *
 * @module
 */
import { fftSizeFor, realSpectrum } from '../signal/fft.js';
import { SAMPLE_RATE_HZ } from '../signal/sound.js';
import type { PulseqGradients } from './pulseq-gradients.js';
import { AXES, type Waveform } from './timeline.js';

/** Samples per second: enough for what trains of gradients do below 6 kHz. */
const RATE_HZ = SAMPLE_RATE_HZ / 2;

/** Longest time looked at, in s: several repetitions of nearly every sequence. */
const LONGEST_SECONDS = 12;

/**
 * Short sequences are sampled up to so many times as often, while they have no more samples than this:
 * few lobes have broad spectra, which must not fold back.
 */
const MOST_OFTEN = 16;
const FEW_SAMPLES = 2 ** 16;

/** Widest bins, in Hz. */
const WIDEST_BIN_HZ = 2.7;

/** Lines are looked for in this band, in Hz: below it there are rhythms, above it little sound. */
const BAND_HZ = { low: 50, high: 6000 };

/** Power is averaged over this width, in Hz, so that a line and its side lines are one. */
const WIDTH_HZ = 10;

/** Lines lie at least this far from each other, in Hz. */
const APART_HZ = 40;

/** Frequencies in Hz of the strongest lines, at most `most`, the strongest first. */
export function strongestGradientLines(
  gradients: PulseqGradients,
  most: number,
): readonly number[] {
  const lengthSeconds = Math.min(LONGEST_SECONDS, gradients.durationSeconds);
  let rateHz = RATE_HZ;
  while (rateHz < MOST_OFTEN * RATE_HZ && 2 * rateHz * lengthSeconds <= FEW_SAMPLES) rateHz *= 2;
  const size = fftSizeFor(Math.max(rateHz * lengthSeconds + 2, rateHz / WIDEST_BIN_HZ));
  const power = slopePower(gradients, lengthSeconds, rateHz, size);
  const binHz = rateHz / size;
  const mean = smooth(power, Math.max(1, Math.round(WIDTH_HZ / binHz)));
  const lines: number[] = [];
  while (lines.length < most) {
    let best: number | undefined;
    for (let bin = Math.ceil(BAND_HZ.low / binHz); bin * binHz <= BAND_HZ.high; bin++) {
      if (mean[bin]! <= (best === undefined ? 0 : mean[best]!)) continue;
      if (lines.every(hertz => Math.abs(hertz - bin * binHz) >= APART_HZ)) best = bin;
    }
    if (best === undefined) break;
    lines.push(best * binHz);
  }
  return lines;
}

/** Power of the slopes of all axes in every bin, shape `[size / 2 + 1]`. */
function slopePower(
  gradients: PulseqGradients,
  lengthSeconds: number,
  rateHz: number,
  size: number,
): Float64Array {
  const stretch = gradients.stretch(0, lengthSeconds);
  const power = new Float64Array(size / 2 + 1);
  for (const axis of AXES) {
    const waveform = stretch[axis];
    if (waveform === undefined) continue;
    const spectrum = realSpectrum(meanSlopes(waveform, rateHz, size));
    for (let bin = 1; bin < power.length; bin++) {
      // The mean over a sample takes away what is made good here.
      const x = (Math.PI * bin) / size;
      const gain = (x / Math.sin(x)) ** 2;
      power[bin]! += gain * (spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2);
    }
  }
  return power;
}

/** Mean slope from each sample to the next, in mT/m per sample, shape `[size]`. */
function meanSlopes(
  { timesSeconds, amplitudes }: Waveform,
  rateHz: number,
  size: number,
): Float64Array {
  const slopes = new Float64Array(size);
  const last = timesSeconds.length - 1;
  let before = 0;
  for (let n = 0, next = 0; n < size && next <= last; n++) {
    const timeSeconds = (n + 1) / rateHz;
    while (next <= last && timesSeconds[next]! <= timeSeconds) next += 1;
    let value = 0;
    if (next > last) value = 0;
    else if (next > 0) {
      const share =
        (timeSeconds - timesSeconds[next - 1]!) / (timesSeconds[next]! - timesSeconds[next - 1]!);
      value = amplitudes[next - 1]! + share * (amplitudes[next]! - amplitudes[next - 1]!);
    }
    slopes[n] = value - before;
    before = value;
  }
  return slopes;
}

/** Mean over `width` neighbours, centred. */
function smooth(values: Float64Array, width: number): Float64Array {
  const means = new Float64Array(values.length);
  const behind = Math.floor(width / 2);
  let sum = 0;
  for (let i = 0; i < values.length + behind; i++) {
    sum += values[i] ?? 0;
    if (i >= width) sum -= values[i - width]!;
    if (i >= behind) means[i - behind] = sum / width;
  }
  return means;
}
