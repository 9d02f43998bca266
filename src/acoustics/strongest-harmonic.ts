/**
 * Which harmonic of a rate is heard most: the pitch of a scan whose sound is a comb.
 *
 * @module
 */
import { realSpectrum } from '../signal/fft.js';
import type { Sound } from '../signal/sound.js';

/** Samples looked at: 3 s, so that lines 1 Hz apart are told apart. */
const WINDOW_SAMPLES = 2 ** 17;

/** Harmonics looked at lie in this band, in Hz: below it the ear is deaf to them, above there is little. */
const BAND_HZ = { low: 100, high: 4000 };

/**
 * The number of the strongest harmonic of a rate, by amplitude at the multiples of the rate.
 *
 * @returns 1 for the rate itself, 2 for its octave ...; undefined for a silent sound.
 */
export function strongestHarmonic(sound: Sound, rateHz: number): number | undefined {
  const spectrum = realSpectrum(windowed(sound));
  const binHz = sound.sampleRateHz / WINDOW_SAMPLES;
  let strongest: number | undefined;
  let highest = 0;
  const first = Math.max(1, Math.ceil(BAND_HZ.low / rateHz));
  for (let harmonic = first; harmonic * rateHz <= BAND_HZ.high; harmonic++) {
    const centre = Math.round((harmonic * rateHz) / binHz);
    let power = 0;
    // A Hann window spreads a line over four bins.
    for (let bin = centre - 2; bin <= centre + 2; bin++) {
      power += spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2;
    }
    if (power > highest) {
      highest = power;
      strongest = harmonic;
    }
  }
  return strongest;
}

/** The first samples under a Hann window. */
function windowed(sound: Sound): Float64Array {
  const samples = new Float64Array(WINDOW_SAMPLES);
  let done = 0;
  for (const block of sound.blocks()) {
    const part = block.subarray(0, WINDOW_SAMPLES - done);
    samples.set(part, done);
    done += part.length;
    if (done === WINDOW_SAMPLES) break;
  }
  for (let n = 0; n < done; n++) {
    samples[n]! *= 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / done);
  }
  return samples;
}
