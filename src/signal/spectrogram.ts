/**
 * A sound over time and frequency.
 *
 * @module
 */
import { realSpectrum } from './fft.js';

/** Levels in dB re 1, row by row from high to low frequency. */
export interface Spectrogram {
  readonly columns: number;
  readonly rows: number;
  /** Shape `[rows x columns]`. */
  readonly levelsDb: Float32Array;
}

/** Samples of one look: 46 ms at 44.1 kHz, a compromise between beeps and lines. */
const WINDOW = 2048;

/**
 * Power over time and the logarithm of frequency.
 *
 * @param samples - The sound; at least one window long.
 * @param columns - Looks, evenly spread over the sound.
 * @param rows - Frequencies, evenly spread over the logarithm from `highHz` down to `lowHz`.
 * @throws {RangeError} The sound is shorter than a window.
 */
export function spectrogram(
  samples: Float64Array,
  sampleRateHz: number,
  columns: number,
  rows: number,
  lowHz: number,
  highHz: number,
): Spectrogram {
  if (samples.length < WINDOW) {
    throw new RangeError(`a spectrogram needs ${WINDOW} samples, got ${samples.length}`);
  }
  const levelsDb = new Float32Array(rows * columns);
  const edges = Array.from(
    { length: rows + 1 },
    (_, row) => (highHz * (lowHz / highHz) ** (row / rows) * WINDOW) / sampleRateHz,
  );
  for (let column = 0; column < columns; column++) {
    const start = Math.round(((samples.length - WINDOW) * column) / Math.max(1, columns - 1));
    const spectrum = realSpectrum(windowed(samples, start));
    for (let row = 0; row < rows; row++) {
      levelsDb[row * columns + column] =
        10 * Math.log10(powerBetween(spectrum, edges[row + 1]!, edges[row]!) + 1e-30);
    }
  }
  return { columns, rows, levelsDb };
}

function windowed(samples: Float64Array, start: number): Float64Array {
  const window = new Float64Array(WINDOW);
  for (let n = 0; n < WINDOW; n++) {
    window[n] = samples[start + n]! * (0.5 - 0.5 * Math.cos((2 * Math.PI * n) / WINDOW));
  }
  return window;
}

/** Highest power of the bins that a band of fractional bins touches. */
function powerBetween(spectrum: Float64Array, from: number, to: number): number {
  let power = 0;
  for (let bin = Math.floor(from); bin <= Math.floor(to); bin++) {
    power = Math.max(power, spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2);
  }
  return power;
}
