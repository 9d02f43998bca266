/**
 * What a sound loses on a loudspeaker that gives nothing below its low end.
 *
 * Energy is A-weighted, since that is nearer to what is heard than energy alone. A sound counts as
 * not to be recognised by what marks it when the third octave in which most of it lies (its tone)
 * falls below the low end, or half of its energy does; both bounds are our own. Its rhythm stays.
 *
 * @module
 */
import { fftSizeFor, realSpectrum } from '../signal/fft.js';
import { requireInRange } from '../signal/require.js';
import { collect, type Sound } from '../signal/sound.js';
import { aWeightingPower } from './frequency-weighting.js';

/** Energy of a sound over frequency. */
export interface AWeightedSpectrum {
  /** Middle of the third octave (IEC 61260-1, base 10) with most energy, in Hz. */
  readonly toneHz: number;
  /** Share of the energy below a frequency, in percent. */
  readonly belowPercent: (hertz: number) => number;
}

/** Half of the energy gone, in percent: our own bound. */
const MOST_GONE_PERCENT = 50;

/** Mid-band frequencies of third octaves are 10^(n/10) Hz. */
const bandOf = (hertz: number): number => Math.round(10 * Math.log10(hertz));

/**
 * The spectrum of a sound, by one Fourier transform over all of it.
 *
 * @param sound - A few seconds: it is held in memory.
 * @returns undefined for silence.
 * @throws {RangeError} More than 60 s, or no samples.
 */
export function aWeightedSpectrum(sound: Sound): AWeightedSpectrum | undefined {
  requireInRange(sound.length / sound.sampleRateHz, 'sound', 1 / sound.sampleRateHz, 60, 's');
  const size = fftSizeFor(sound.length);
  const samples = new Float64Array(size);
  samples.set(collect(sound));
  const spectrum = realSpectrum(samples);
  const binHz = sound.sampleRateHz / size;
  const below = new Float64Array(size / 2 + 1);
  const bands = new Map<number, number>();
  let total = 0;
  for (let bin = 1; bin <= size / 2; bin++) {
    const hertz = bin * binHz;
    const power = aWeightingPower(hertz) * (spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2);
    total += power;
    below[bin] = total;
    const band = bandOf(hertz);
    bands.set(band, (bands.get(band) ?? 0) + power);
  }
  if (total === 0) return undefined;
  const [tone] = [...bands].reduce((a, b) => (b[1] > a[1] ? b : a));
  return {
    toneHz: 10 ** (tone / 10),
    belowPercent: hertz => {
      const bin = Math.min(Math.max(Math.ceil(hertz / binHz) - 1, 0), size / 2);
      return (100 * below[bin]!) / total;
    },
  };
}

/** Whether a loudspeaker with this low end loses what makes the sound recognisable. */
export const losesItsMark = (spectrum: AWeightedSpectrum, lowEndHz: number): boolean =>
  spectrum.toneHz < lowEndHz || spectrum.belowPercent(lowEndHz) >= MOST_GONE_PERCENT;
