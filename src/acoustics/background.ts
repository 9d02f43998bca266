/**
 * What is heard in the bore when no gradient plays: the fan, and the beat of the cryocooler, about
 * once a second, a chirp and a softer return stroke.
 *
 * One loop of noise, shaped in the frequency domain, that closes on itself without a seam.
 *
 * @module
 */
import { realSpectrum, signalOfSpectrum } from '../signal/fft.js';
import { seededRandom } from '../signal/random.js';
import { SAMPLE_RATE_HZ, type Sound } from '../signal/sound.js';
import { protectionSpectrum } from './listening.js';
import type { Protection } from './protection.js';

/** Samples of the loop: 11.9 s. A power of two, so that filtering it keeps it closed. */
const LOOP_SAMPLES = 2 ** 19;

/** Beats of the cryocooler in a loop: 1.01 a second (1.0 or 1.2, by mains frequency; common practice, no source). */
const BEATS = 12;

/**
 * Pressures in Pa before shaping, set so that the loop is 60 dBA without protection, as an idle
 * 3 T scanner is (55-65 dBA; common practice, no source).
 */
const FAN_PA = 0.197;
const CHIRP_PA = 0.204;

/** Fan noise: low, broad. Chirp: gas noise in a band. Cut-offs in Hz; common practice, no source. */
const FAN_BAND_HZ = { low: 60, high: 350 };
const CHIRP_BAND_HZ = { low: 300, high: 2000 };

/** Lengths of the chirp and its return stroke in s, and the return's share of the amplitude. */
const STROKES = [
  { atSeconds: 0, lengthSeconds: 0.16, share: 1 },
  { atSeconds: 0.48, lengthSeconds: 0.2, share: 0.45 },
];

/** The background in Pa at the ear, as sounds of any length. */
export function backgroundSounds(
  protection: Protection | undefined,
  seed: string,
): (durationSeconds: number) => Sound {
  let loop: Float64Array | undefined;
  return durationSeconds => {
    const length = Math.round(durationSeconds * SAMPLE_RATE_HZ);
    return {
      sampleRateHz: SAMPLE_RATE_HZ,
      length,
      *blocks() {
        loop ??= backgroundLoop(protection, seed);
        for (let done = 0; done < length; done += LOOP_SAMPLES) {
          yield loop.subarray(0, Math.min(LOOP_SAMPLES, length - done));
        }
      },
    };
  };
}

function backgroundLoop(protection: Protection | undefined, seed: string): Float64Array {
  const fan = bandNoise(`${seed}/fan`, FAN_BAND_HZ);
  const chirp = bandNoise(`${seed}/cryocooler`, CHIRP_BAND_HZ);
  const mixed = new Float64Array(LOOP_SAMPLES);
  for (let n = 0; n < LOOP_SAMPLES; n++) {
    mixed[n] = FAN_PA * fan[n]! + CHIRP_PA * chirp[n]! * strokeEnvelope(n);
  }
  return protection === undefined ? mixed : filtered(mixed, protection);
}

/** Gaussian noise in a band, 12 dB per octave outside it, of variance about 1 before the band is cut. */
function bandNoise(
  seed: string,
  { low, high }: { readonly low: number; readonly high: number },
): Float64Array {
  const random = seededRandom(seed);
  const white = Float64Array.from({ length: LOOP_SAMPLES }, () => random.normal());
  const spectrum = realSpectrum(white);
  for (let bin = 0; bin <= LOOP_SAMPLES / 2; bin++) {
    const hertz = (bin * SAMPLE_RATE_HZ) / LOOP_SAMPLES;
    const rise = (hertz / low) ** 2;
    const gain = rise / Math.sqrt(1 + rise ** 2) / Math.sqrt(1 + (hertz / high) ** 4);
    spectrum[2 * bin]! *= gain;
    spectrum[2 * bin + 1]! *= gain;
  }
  return signalOfSpectrum(spectrum);
}

/** Envelope of the cryocooler's strokes: each a raised cosine, the same in every beat. */
function strokeEnvelope(sample: number): number {
  const beatSamples = LOOP_SAMPLES / BEATS;
  const inBeatSeconds = (sample % beatSamples) / SAMPLE_RATE_HZ;
  let envelope = 0;
  for (const { atSeconds, lengthSeconds, share } of STROKES) {
    const phase = (inBeatSeconds - atSeconds) / lengthSeconds;
    if (phase > 0 && phase < 1) envelope += share * Math.sin(Math.PI * phase) ** 2;
  }
  return envelope;
}

/** The loop under hearing protection, filtered in a circle so that it stays closed. */
function filtered(loop: Float64Array, protection: Protection): Float64Array {
  const spectrum = realSpectrum(loop);
  const worn = protectionSpectrum(protection, LOOP_SAMPLES, SAMPLE_RATE_HZ);
  for (let i = 0; i < spectrum.length; i += 2) {
    const re = spectrum[i]!;
    const im = spectrum[i + 1]!;
    spectrum[i] = re * worn[i]! - im * worn[i + 1]!;
    spectrum[i + 1] = re * worn[i + 1]! + im * worn[i]!;
  }
  return signalOfSpectrum(spectrum);
}
