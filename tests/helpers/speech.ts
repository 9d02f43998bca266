/** Sound like speech: syllables of a voice whose pitch glides, hisses between them, short pauses. */
import { seededRandom } from '../../src/signal/random.js';

/** @param pitchHz - Where the pitch of the syllables lies, from and to. */
export function speechLike(
  seconds: number,
  sampleRateHz: number,
  { pitchHz = [95, 145], peak = 0.5, seed = 'speech' } = {},
): Float64Array {
  const random = seededRandom(seed);
  const samples = new Float64Array(Math.round(seconds * sampleRateHz));
  let syllable: number;
  for (let start = 0; start < samples.length; start += syllable) {
    syllable = Math.round((0.16 + 0.12 * random.uniform()) * sampleRateHz);
    const [from, to] = [random.uniform(), random.uniform()].map(
      share => pitchHz[0]! + share * (pitchHz[1]! - pitchHz[0]!),
    );
    let phase = 2 * Math.PI * random.uniform();
    for (let i = 0; i < syllable && start + i < samples.length; i++) {
      const place = i / syllable;
      phase += (2 * Math.PI * (from! + (to! - from!) * place)) / sampleRateHz;
      if (place < 0.65) {
        // Harmonics that fall by 6 dB an octave under a hump.
        let voice = 0;
        for (let k = 1; k <= 20; k++) voice += Math.sin(k * phase) / k;
        samples[start + i] = voice * Math.sin((Math.PI * place) / 0.65);
      } else if (place < 0.85) {
        samples[start + i] = 0.15 * random.normal() * Math.sin((Math.PI * (place - 0.65)) / 0.2);
      }
    }
  }
  const most = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  return samples.map(x => (peak * x) / most);
}

/** Root of the mean square. */
export const rms = (samples: Float64Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

/** Samples with another sound at a level re their RMS, in dB. */
export function withSound(samples: Float64Array, other: Float64Array, db: number): Float64Array {
  const gain = (rms(samples) / rms(other)) * 10 ** (db / 20);
  return samples.map((x, i) => x + gain * other[i]!);
}
