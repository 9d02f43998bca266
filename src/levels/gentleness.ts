/**
 * Which sounds are gentle and which are hard: the order in which a child hears them for the first time.
 *
 * The sounds are compared at one A-weighted level, as the kit plays them: what is ranked is their
 * character, not how loud the scanner happens to be. Four numbers describe it: loudness (sharp peaks
 * and wide spectra are louder than their level says), sharpness, roughness and suddenness. The first
 * three are put together as psychoacoustic annoyance, after U. Widmann (E. Zwicker and H. Fastl,
 * Psychoacoustics, 2nd edition 1999, 16.1.4):
 *
 *     PA = N5 (1 + sqrt(wS^2 + wFR^2))
 *     wS = (S - 1.75) lg(N5 + 10) / 4, from 1.75 acum
 *     wFR = 2.18 / N5^0.4 (0.4 F + 0.6 R)
 *
 * Of it, fluctuation strength F is left out (0): suddenness stands for the slow changes, with a weight
 * beside wS and wFR that is our own default, as is the equal level. No study has ranked scanner sounds
 * for children with this number: it proposes an order, which staff can change.
 *
 * @module
 */
import { dbToAmplitude } from '../signal/decibels.js';
import { requireInRange } from '../signal/require.js';
import { fitSound } from '../signal/shape-sound.js';
import { collect, type Sound, soundOf } from '../signal/sound.js';
import { loudnessOverTime } from './loudness-over-time.js';
import { measureSound } from './measure-sound.js';
import { onsetSuddenness } from './onset-suddenness.js';
import { roughness } from './roughness.js';
import { dbfsToDbSpl } from './scan-levels.js';
import { sharpnessAcum } from './sharpness.js';

/** A sound to rank; its scale does not matter. */
export interface NamedSound {
  readonly name: string;
  /** At 32 to 192 kHz; held in memory while it is measured. A very short one is heard with silence after it. */
  readonly sound: Sound;
}

/** What a sound is like at the level at which all are compared. */
export interface RankedSound {
  readonly name: string;
  /** Loudness exceeded for 5 % of the time, in sone. */
  readonly loudnessSone: number;
  /** In acum. */
  readonly sharpnessAcum: number;
  /** Mean over time, in asper. */
  readonly roughnessAsper: number;
  /** How suddenly it starts out of the quiet: rise within 50 ms, in dB. */
  readonly startDb: number;
  /** The most sudden rise later, in dB within 50 ms. */
  readonly laterDb: number;
  /** All of it in one number: the higher, the harder. About 10 to 30 for scanner sounds. */
  readonly hardness: number;
}

/**
 * The level at which sounds are compared, LAeq in dB(A): normal vocal effort at 1 m (ISO 9921),
 * which is about as loud as a kit gets.
 */
export const COMPARED_AT_DB = 60;

/**
 * Weight of suddenness per dB: half for the start, half for what comes later. With it a sound that
 * jumps by 40 dB counts as much as one of 1 asper does at 10 sone. Our own default.
 */
const WEIGHT_PER_DB = 0.013;

/** Sharpness up to here does not annoy, in acum (Widmann's formula). */
const SHARP_FROM_ACUM = 1.75;

/**
 * Sounds from gentle to hard, with the numbers that say so. Equal ones are in the order of their names.
 *
 * @param levelDb - LAeq in dB(A) at which they are compared, from 20 to 70; 60 unless given.
 * @throws {RangeError} A sound that is silent, or of a sample rate outside 32 to 192 kHz;
 * a level outside its range.
 */
export function rankSounds(
  sounds: readonly NamedSound[],
  levelDb: number = COMPARED_AT_DB,
): readonly RankedSound[] {
  requireInRange(levelDb, 'levelDb', 20, 70, 'dB');
  return byHardness(sounds.map(({ name, sound }) => describe(name, atLevel(name, sound, levelDb))));
}

/** From gentle to hard. Equal ones are in the order of their names. */
export const byHardness = (sounds: readonly RankedSound[]): readonly RankedSound[] =>
  sounds.toSorted((a, b) => a.hardness - b.hardness || (a.name < b.name ? -1 : 1));

/**
 * One number for the four.
 *
 * @param sound - Each number at least 0.
 */
export function hardnessOf(sound: Omit<RankedSound, 'name' | 'hardness'>): number {
  const { loudnessSone: loudness, sharpnessAcum: sharpness, roughnessAsper: asper } = sound;
  if (loudness === 0) return 0;
  const sharp = (Math.max(0, sharpness - SHARP_FROM_ACUM) * Math.log10(loudness + 10)) / 4;
  const rough = (2.18 / loudness ** 0.4) * 0.6 * asper;
  const sudden = WEIGHT_PER_DB * ((sound.startDb + sound.laterDb) / 2);
  return loudness * (1 + Math.hypot(sharp, rough, sudden));
}

/** Roughness needs so much, in s. */
const SHORTEST_SECONDS = 0.3;

/** The sound in memory, in Pa, at an A-weighted level. */
function atLevel(name: string, sound: Sound, levelDb: number): Sound {
  const least = Math.ceil(SHORTEST_SECONDS * sound.sampleRateHz);
  const samples = collect(fitSound(sound, Math.max(least, sound.length)));
  const held = soundOf(samples, sound.sampleRateHz);
  const { laeqDbfs } = measureSound(held);
  if (laeqDbfs === -Infinity) throw new RangeError(`sound ${name} is silent`);
  const gain = dbToAmplitude(levelDb - dbfsToDbSpl(laeqDbfs));
  return soundOf(
    samples.map(sample => gain * sample),
    sound.sampleRateHz,
  );
}

function describe(name: string, sound: Sound): RankedSound {
  const { n5Sone, meanSpecific } = loudnessOverTime(sound);
  const { startDb, laterDb } = onsetSuddenness(sound);
  const numbers = {
    loudnessSone: n5Sone,
    sharpnessAcum: sharpnessAcum(meanSpecific),
    roughnessAsper: roughness(sound).meanAsper,
    startDb,
    laterDb,
  };
  return { name, ...numbers, hardness: hardnessOf(numbers) };
}
