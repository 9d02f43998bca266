/** Signals with known levels. */
import { fftSizeFor, signalOfSpectrum } from '../../src/signal/fft.js';
import { seededRandom } from '../../src/signal/random.js';

/** A sine; `peak` 1.0 is full scale, the phase in radians. */
export function sine(
  hertz: number,
  seconds: number,
  sampleRateHz: number,
  { peak = 1, phase = 0 }: { peak?: number; phase?: number } = {},
): Float64Array {
  return Float64Array.from({ length: Math.round(seconds * sampleRateHz) }, (_, i) => {
    return peak * Math.sin((2 * Math.PI * hertz * i) / sampleRateHz + phase);
  });
}

/** Parts one after another. */
export function join(...parts: readonly Float64Array[]): Float64Array {
  const joined = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let offset = 0;
  for (const part of parts) {
    joined.set(part, offset);
    offset += part.length;
  }
  return joined;
}

/** Largest distance between samples of two signals of one length; NaN when the lengths differ. */
export function largestDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  if (a.length !== b.length) return Number.NaN;
  let largest = 0;
  for (let i = 0; i < a.length; i++) largest = Math.max(largest, Math.abs(a[i]! - b[i]!));
  return largest;
}

export const silence = (seconds: number, sampleRateHz: number): Float64Array =>
  new Float64Array(Math.round(seconds * sampleRateHz));

/** Under a raised cosine over its whole length: a tone with no edges to hear. */
export const swelling = (samples: Float64Array): Float64Array =>
  samples.map((x, i) => (x * (1 - Math.cos((2 * Math.PI * (i + 0.5)) / samples.length))) / 2);

/** With straight fades at both ends, in s, so that they add no peaks. */
export function faded(samples: Float64Array, seconds: number, sampleRateHz: number): Float64Array {
  const fade = seconds * sampleRateHz;
  return samples.map((x, i) => x * Math.min(1, i / fade, (samples.length - 1 - i) / fade));
}

/**
 * Periodic noise whose power falls by `slope` powers of frequency between two frequencies and is zero
 * outside: 1 is pink, 0 white. Its level over the whole is exact.
 */
export function bandNoise(options: {
  readonly length: number;
  readonly sampleRateHz: number;
  readonly fromHz: number;
  readonly toHz: number;
  readonly slope: number;
  /** dB re the RMS of a full-scale sine. */
  readonly levelDbfs: number;
  readonly seed: string;
}): Float64Array {
  const { length, sampleRateHz, fromHz, toHz, slope, levelDbfs, seed } = options;
  if (fftSizeFor(length) !== length) throw new Error('length must be a power of two');
  const random = seededRandom(seed);
  const spectrum = new Float64Array(length + 2);
  let power = 0;
  for (let bin = 1; bin < length / 2; bin++) {
    const hertz = (bin * sampleRateHz) / length;
    const angle = 2 * Math.PI * random.uniform();
    if (hertz < fromHz || hertz > toHz) continue;
    const amplitude = hertz ** (-slope / 2);
    spectrum[2 * bin] = amplitude * Math.cos(angle);
    spectrum[2 * bin + 1] = amplitude * Math.sin(angle);
    power += 2 * (amplitude / length) ** 2;
  }
  const scale = Math.sqrt((0.5 * 10 ** (levelDbfs / 10)) / power);
  return signalOfSpectrum(spectrum.map(value => value * scale));
}
