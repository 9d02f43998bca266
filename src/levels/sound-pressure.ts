/**
 * Sound pressure level: from Pa to dB re 20 uPa.
 *
 * @module
 */
import { powerToDb } from '../signal/decibels.js';

/** Square of the reference pressure of 20 uPa, in Pa^2 (ISO 1683). */
export const REFERENCE_PA2 = 4e-10;

/** Level in dB re 20 uPa of a mean square in Pa^2; `-Infinity` for 0. */
export const pa2ToDbSpl = (pa2: number): number => powerToDb(pa2 / REFERENCE_PA2);
