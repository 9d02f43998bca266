/**
 * Minimum phase from a magnitude: the causal filter of that magnitude with the shortest delay.
 *
 * Method: the real cepstrum, folded onto positive time (Oppenheim and Schafer, Discrete-Time Signal
 * Processing, "minimum-phase and all-pass decomposition").
 *
 * @module
 */
import { realSpectrum, signalOfSpectrum } from './fft.js';

/** Magnitudes below this share of the largest are lifted to it: a zero has no logarithm. -200 dB. */
const FLOOR = 1e-10;

/**
 * The minimum-phase spectrum of a magnitude.
 *
 * @param magnitudes - |H| of bins 0 to N/2, shape `[N/2 + 1]`, N a power of two; finite, not negative, not all zero.
 * @returns Interleaved complex bins 0 to N/2, shape `[N + 2]`.
 * @throws {RangeError} A magnitude is not finite, negative, or all are zero.
 */
export function minimumPhase(magnitudes: Float64Array): Float64Array {
  const largest = magnitudes.reduce((max, value) => Math.max(max, value), 0);
  if (!(largest > 0) || magnitudes.some(value => !(value >= 0 && value < Infinity))) {
    throw new RangeError('magnitudes must be finite, not negative and not all zero');
  }
  const bins = magnitudes.length;
  const logSpectrum = new Float64Array(2 * bins);
  for (let bin = 0; bin < bins; bin++) {
    logSpectrum[2 * bin] = Math.log(Math.max(magnitudes[bin]!, FLOOR * largest));
  }
  const cepstrum = signalOfSpectrum(logSpectrum);
  const half = cepstrum.length / 2;
  for (let i = 1; i < half; i++) cepstrum[i]! *= 2;
  cepstrum.fill(0, half + 1);
  const spectrum = realSpectrum(cepstrum);
  for (let bin = 0; bin < bins; bin++) {
    const magnitude = Math.exp(spectrum[2 * bin]!);
    const phase = spectrum[2 * bin + 1]!;
    spectrum[2 * bin] = magnitude * Math.cos(phase);
    spectrum[2 * bin + 1] = magnitude * Math.sin(phase);
  }
  return spectrum;
}
