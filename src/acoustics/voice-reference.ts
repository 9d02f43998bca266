/**
 * The voice reference: steady noise with the spectrum of ordinary speech, which a parent sets equal
 * to their own talk. Everything else in a kit is relative to it.
 *
 * Source: ANSI S3.5-1997, standard speech spectrum level for normal vocal effort at 1 m, in
 * one-third octaves; values from memory, checked by their sums (62.3 dB, 59.2 dBA).
 *
 * @module
 */
import { signalOfSpectrum } from '../signal/fft.js';
import { seededRandom } from '../signal/random.js';
import { SAMPLE_RATE_HZ, type Sound } from '../signal/sound.js';

/**
 * Spectrum levels in dB re 20 uPa in 1 Hz, from the band at 160 Hz to that at 8 kHz; one per
 * one-third octave, the nth at 1000 x 10^(n/10) Hz.
 */
const SPECTRUM_LEVELS_DB = [
  32.41, 34.48, 34.75, 33.98, 34.59, 34.27, 32.06, 28.3, 25.01, 23.0, 20.15, 17.32, 13.18, 11.55,
  9.33, 5.31, 2.59, 1.13,
] as const;

/** Number of the first band: 160 Hz. */
const FIRST_BAND = -8;

/** One band of the spectrum. */
export interface SpeechBand {
  /** Exact middle, in Hz. */
  readonly middleHz: number;
  readonly lowHz: number;
  readonly highHz: number;
  /** Level of the whole band in dB re 20 uPa. */
  readonly levelDb: number;
}

/** The bands from low to high. */
export const SPEECH_BANDS: readonly SpeechBand[] = SPECTRUM_LEVELS_DB.map((spectrumDb, i) => {
  const middleHz = 1000 * 10 ** ((FIRST_BAND + i) / 10);
  const [lowHz, highHz] = [middleHz * 10 ** -0.05, middleHz * 10 ** 0.05];
  return { middleHz, lowHz, highHz, levelDb: spectrumDb + 10 * Math.log10(highHz - lowHz) };
});

/** The noise repeats after so many samples (5.9 s) without a seam. */
const LOOP_SAMPLES = 2 ** 18;

/** Reference pressure in Pa (ISO 1683). */
const REFERENCE_PA = 20e-6;

/** The noise in Pa at 1 m, as long as wanted, always the same. */
export function voiceReference(durationSeconds: number): Sound {
  const length = Math.round(durationSeconds * SAMPLE_RATE_HZ);
  return {
    sampleRateHz: SAMPLE_RATE_HZ,
    length,
    *blocks() {
      const loop = speechLoop();
      for (let left = length; left > 0; left -= LOOP_SAMPLES) {
        yield loop.subarray(0, Math.min(left, LOOP_SAMPLES));
      }
    },
  };
}

let loop: Float64Array | undefined;

/** One loop: every bin has exactly its band's share of power, and a random phase. */
function speechLoop(): Float64Array {
  if (loop !== undefined) return loop;
  const binHz = SAMPLE_RATE_HZ / LOOP_SAMPLES;
  const random = seededRandom('voice reference');
  const spectrum = new Float64Array(LOOP_SAMPLES + 2);
  for (const { lowHz, highHz, levelDb } of SPEECH_BANDS) {
    const first = Math.ceil(lowHz / binHz);
    const last = Math.ceil(highHz / binHz) - 1;
    const binMeanSquare = (REFERENCE_PA ** 2 * 10 ** (levelDb / 10)) / (last - first + 1);
    // A sine of amplitude a has mean square a^2/2 and two bins of a N / 2.
    const magnitude = Math.sqrt(2 * binMeanSquare) * (LOOP_SAMPLES / 2);
    for (let bin = first; bin <= last; bin++) {
      const phase = 2 * Math.PI * random.uniform();
      spectrum[2 * bin] = magnitude * Math.cos(phase);
      spectrum[2 * bin + 1] = magnitude * Math.sin(phase);
    }
  }
  loop = signalOfSpectrum(spectrum);
  return loop;
}
