/**
 * The Fourier transform, once, typed: a wrapper of `fft.js` that checks lengths (the package gives
 * NaN for short buffers instead of an error) and caches its tables per size.
 *
 * Spectra are interleaved `[re0, im0, re1, im1, ...]`. Forward is unscaled, inverse divides by N.
 *
 * @module
 */
import FftJs from 'fft.js';

const tables = new Map<number, FftJs>();

/** Smallest power of two that is at least `length`, and at least 2. */
export function fftSizeFor(length: number): number {
  let size = 2;
  while (size < length) size *= 2;
  return size;
}

/**
 * Spectrum of a real signal, bins 0 to N/2.
 *
 * @param signal - N real samples; N is a power of two, at least 2.
 * @returns Interleaved bins, shape `[N + 2]`.
 * @throws {RangeError} N is not a power of two of at least 2.
 */
export function realSpectrum(signal: Float64Array): Float64Array {
  const size = signal.length;
  // fft.js leaves intermediate values in the upper half: transform into a full buffer, keep the lower.
  const full = new Float64Array(2 * size);
  tableFor(size).realTransform(full, signal);
  return full.slice(0, size + 2);
}

/**
 * The real signal of a spectrum given by its bins 0 to N/2.
 *
 * @param spectrum - Interleaved bins, shape `[N + 2]`, N a power of two of at least 2.
 * @returns N samples.
 * @throws {RangeError} The length is not `N + 2` for such an N.
 */
export function signalOfSpectrum(spectrum: Float64Array): Float64Array {
  const size = spectrum.length - 2;
  const table = tableFor(size);
  const full = new Float64Array(2 * size);
  full.set(spectrum);
  for (let bin = 1; bin < size / 2; bin++) {
    full[2 * (size - bin)] = spectrum[2 * bin]!;
    full[2 * (size - bin) + 1] = -spectrum[2 * bin + 1]!;
  }
  const complex = new Float64Array(2 * size);
  table.inverseTransform(complex, full);
  const signal = new Float64Array(size);
  for (let i = 0; i < size; i++) signal[i] = complex[2 * i]!;
  return signal;
}

/**
 * Complex transform; `input` and the result are interleaved, shape `[2N]`.
 *
 * @param output - Where the result goes, for callers that transform often; not `input`.
 * @throws {RangeError} N is not a power of two of at least 2, or `output` has another length.
 */
export function complexSpectrum(
  input: Float64Array,
  output = new Float64Array(input.length),
): Float64Array {
  if (output.length !== input.length) {
    throw new RangeError(`output must hold ${input.length} numbers, got ${output.length}`);
  }
  tableFor(input.length / 2).transform(output, input);
  return output;
}

/** Inverse of {@link complexSpectrum}. @throws {RangeError} as there. */
export function inverseComplexSpectrum(spectrum: Float64Array): Float64Array {
  const output = new Float64Array(spectrum.length);
  tableFor(spectrum.length / 2).inverseTransform(output, spectrum);
  return output;
}

function tableFor(size: number): FftJs {
  if (!Number.isSafeInteger(size) || size < 2 || (size & (size - 1)) !== 0 || size > 2 ** 26) {
    throw new RangeError(`FFT size must be a power of two from 2 to 2^26, got ${size}`);
  }
  let table = tables.get(size);
  if (table === undefined) {
    table = new FftJs(size);
    tables.set(size, table);
  }
  return table;
}
