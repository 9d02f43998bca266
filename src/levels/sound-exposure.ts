/**
 * Sound exposure: the energy that reaches an ear, in Pa2h, and the levels that mean the same.
 *
 * Sources: IEC 61672-1:2013, 3.11 to 3.13; ISO 1999:2013 for the level normalised to 8 hours.
 *
 * @module
 */
import { dbToPower, powerToDb } from '../signal/decibels.js';

/** Reference pressure squared, in Pa2 (20 uPa, ISO 1683). */
const REFERENCE_PA2 = 20e-6 ** 2;

const SECONDS_PER_HOUR = 3600;

/** A working day, in s (ISO 1999:2013). */
const NORMAL_DAY_SECONDS = 8 * SECONDS_PER_HOUR;

/** A-weighted sound exposure in Pa2h of a level kept for a time; 80 dBA for 40 h is 1.6. */
export const exposurePa2h = (levelDba: number, durationSeconds: number): number =>
  (REFERENCE_PA2 * dbToPower(levelDba) * durationSeconds) / SECONDS_PER_HOUR;

/** Level in dBA that gives an exposure in a time. */
export const levelOfExposure = (pa2h: number, durationSeconds: number): number =>
  powerToDb((pa2h * SECONDS_PER_HOUR) / (REFERENCE_PA2 * durationSeconds));

/** Exposure level normalised to an 8 hour day, LEX,8h, in dBA. */
export const dailyExposureLevel = (pa2h: number): number =>
  levelOfExposure(pa2h, NORMAL_DAY_SECONDS);
