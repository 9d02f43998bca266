/**
 * How loud a scan is at the ear, as a range: the response is a model, so one number would lie.
 *
 * @module
 */
import { FULL_SCALE_MEAN_SQUARE } from '../signal/decibels.js';
import type { Sound } from '../signal/sound.js';
import { measureSound } from './measure-sound.js';
import { pa2ToDbSpl } from './sound-pressure.js';

/** A level with how far it may be off, in dB. */
export interface LevelRange {
  readonly low: number;
  readonly expected: number;
  readonly high: number;
}

/**
 * How far a level from a generic response may be off, in dB: one scanner's scans differ from another
 * scanner's by 8 to 12 dB at the same settings (a survey of seven scanners, ISMRM 2021 abstract 2264).
 */
const GENERIC_RESPONSE_DB = 8;

/**
 * Level in dB re 20 uPa of a sound in Pa whose level was measured as dBFS (re a full-scale sine, as
 * if 1 Pa were full scale).
 */
export const dbfsToDbSpl = (dbfs: number): number => dbfs + pa2ToDbSpl(FULL_SCALE_MEAN_SQUARE);

/** A-weighted equivalent level of a sound in Pa at the ear, in dBA, with the range of a generic response. */
export function scanLevelRange(sound: Sound): LevelRange {
  const expected = dbfsToDbSpl(measureSound(sound).laeqDbfs);
  return {
    low: expected - GENERIC_RESPONSE_DB,
    expected,
    high: expected + GENERIC_RESPONSE_DB,
  };
}
