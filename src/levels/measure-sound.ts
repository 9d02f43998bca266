/**
 * The levels of a sound of our own.
 *
 * @module
 */
import type { Sound } from '../signal/sound.js';
import type { Levels } from './levels.js';
import { Meter } from './meter.js';

/**
 * Measures a mono sound from its start to its end, without third octaves.
 *
 * @throws {RangeError} As the meter does: sample rate out of range, samples that are not finite.
 */
export function measureSound(sound: Sound): Levels {
  const meter = new Meter({ sampleRateHz: sound.sampleRateHz, bands: false });
  for (const block of sound.blocks()) meter.push([block]);
  return meter.result();
}
