/**
 * What a sound looks like: how its loudness comes and goes, and which pitches are in it. Two rows of
 * numbers for page and guide to draw.
 *
 * @module
 */
import { aWeightingPower } from '../levels/frequency-weighting.js';
import { ThirdOctaves } from '../levels/third-octaves.js';
import { powerToDb } from '../signal/decibels.js';
import { collect, type Sound } from '../signal/sound.js';

/** What the sound of a scan looks like, measured from its audio. */
export interface SoundPicture {
  /** Name of the scan. */
  readonly scan: string;
  /** Loudness along the first seconds of the sound, each 0 (silent) to 1 (its loudest). */
  readonly shape: readonly number[];
  /** Energy from low to high pitch, each 0 to 1 (its strongest). */
  readonly spectrum: readonly number[];
}

/** How much of a sound is looked at, in s: long enough for the slow rhythms of most scans. */
export const PICTURED_S = 4.8;

/** Places along it: 60 ms each, which a phone draws as bars of 3 to 4 points. */
const PLACES = 80;

/** What lies so far below the loudest place is drawn as silence, in dB. */
const SHAPE_RANGE_DB = 30;

/** Lowest and highest third octave, in Hz: what a phone's loudspeaker and a child's ear share. */
const LOWEST_HZ = 100;
const HIGHEST_HZ = 8000;

/** What lies so far below the strongest band is not drawn, in dB. */
const SPECTRUM_RANGE_DB = 36;

/**
 * A sound's picture.
 *
 * @param sound - Its first {@link PICTURED_S}, or all of it when it is shorter; at any level.
 */
export function soundPicture(scan: string, sound: Sound): SoundPicture {
  const samples = collect(sound);
  return {
    scan,
    shape: heights(shapePowers(samples), SHAPE_RANGE_DB),
    spectrum: heights(bandPowers(samples, sound.sampleRateHz), SPECTRUM_RANGE_DB),
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

/** Powers as heights from 0 to 1, in two digits: a level `rangeDb` below the highest is 0. */
function heights(powers: readonly number[], rangeDb: number): readonly number[] {
  const highest = Math.max(...powers);
  return powers.map(power => {
    if (!(power > 0)) return 0;
    const height = 1 + powerToDb(power / highest) / rangeDb;
    return Math.round(100 * Math.max(0, height)) / 100;
  });
}
