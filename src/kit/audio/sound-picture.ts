/**
 * What a sound looks like: how its loudness comes and goes, and which pitches are in it. Two rows of
 * numbers for page and guide to draw.
 *
 * @module
 */
import { aWeightingPower } from '../../levels/frequency-weighting.js';
import { ThirdOctaves } from '../../levels/third-octaves.js';
import { powerToDb } from '../../signal/decibels.js';
import { collect, type Sound } from '../../signal/sound.js';

/** What the sound of a scan looks like, measured from its audio. */
export interface SoundPicture {
  /** Name of the scan. */
  readonly scan: string;
  /** Loudness along the first {@link PICTURED_SECONDS} of the sound, each 0 (silent) to 1 (its loudest). */
  readonly shape: readonly number[];
  /** Loudness of pitches from low to high, each 0 to 1 (its strongest). */
  readonly spectrum: readonly number[];
}

/** How much of a sound is looked at, in s: long enough for the slow rhythms of most scans. */
export const PICTURED_SECONDS = 4.8;

/** Places along it, 120 ms each: beads of 5 points on a phone. */
const PLACES = 40;

/** Lowest and highest third octave, in Hz: what a phone's loudspeaker and a child's ear share. */
const LOWEST_HZ = 100;
const HIGHEST_HZ = 8000;

/** 10 dB less is about half as loud (Stevens 1955, J. Acoust. Soc. Am. 27, 815). */
const HALF_AS_LOUD_DB = 10;

/**
 * A sound's picture.
 *
 * @param sound - Its first {@link PICTURED_SECONDS}, or all of it when it is shorter; at any level.
 */
export function soundPicture(scan: string, sound: Sound): SoundPicture {
  const samples = collect(sound);
  return {
    scan,
    shape: heights(shapePowers(samples)),
    spectrum: heights(bandPowers(samples, sound.sampleRateHz)),
  };
}

/** Power at each place, seen through a window two places wide, so that fast rhythms do not beat with it. */
function shapePowers(samples: Float64Array): readonly number[] {
  const step = samples.length / PLACES;
  return Array.from({ length: PLACES }, (_, place) => {
    const centre = (place + 0.5) * step;
    const start = Math.max(0, Math.round(centre - step));
    const end = Math.min(samples.length, Math.round(centre + step));
    let power = 0;
    let weights = 0;
    for (let n = start; n < end; n++) {
      const weight = 0.5 + 0.5 * Math.cos((Math.PI * (n - centre)) / step);
      power += weight * samples[n]! ** 2;
      weights += weight;
    }
    return weights === 0 ? 0 : power / weights;
  });
}

function bandPowers(samples: Float64Array, sampleRateHz: number): readonly number[] {
  const bands = new ThirdOctaves(sampleRateHz);
  bands.push(samples);
  return bands
    .finish()
    .filter(({ nominalHz }) => nominalHz >= LOWEST_HZ && nominalHz <= HIGHEST_HZ)
    .map(({ nominalHz, meanSquare }) => meanSquare * aWeightingPower(nominalHz));
}

/** Powers as heights from 0 to 1, in two digits: half as high is half as loud. */
function heights(powers: readonly number[]): readonly number[] {
  const highest = Math.max(...powers);
  return powers.map(power => {
    if (!(power > 0)) return 0;
    return Math.round(100 * 2 ** (powerToDb(power / highest) / HALF_AS_LOUD_DB)) / 100;
  });
}
