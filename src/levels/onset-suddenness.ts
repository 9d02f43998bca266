/**
 * Suddenness: by how much and how fast a sound starts, at its beginning and wherever it starts again.
 *
 * The level is that of the A-weighted sound over 10 ms, looked at every millisecond. It never falls
 * below what a quiet room lets one hear. Suddenness at a moment is how far the level is above the
 * lowest one of the last 50 ms; an onset is where that passes 10 dB, and its suddenness the most it
 * comes to before it is below again. Startle follows such rises: at 80 and 85 dB(A) noise that took 10
 * or 25 ms to rise startled less than noise that took 2.5 ms (T. D. Blumenthal, "The startle response
 * to acoustic stimuli near startle threshold", Psychophysiology 25, 1988, abstract). The measure
 * itself, its windows and its limit are our own.
 *
 * @module
 */
import { BiquadCascade } from '../signal/biquad.js';
import { requireInRange } from '../signal/require.js';
import type { Sound } from '../signal/sound.js';
import { METER_RATES_HZ } from './meter.js';
import { pa2ToDbSpl } from './sound-pressure.js';
import { aWeightingSections } from './weighting-filter.js';

export interface Onset {
  /** When the level has risen most, in s from the sound's start. */
  readonly timeS: number;
  /** Rise within 50 ms, in dB. */
  readonly riseDb: number;
}

export interface Suddenness {
  /** Every rise of at least 10 dB within 50 ms, in order. */
  readonly onsets: readonly Onset[];
  /** Largest rise in the first 100 ms, in dB, out of the quiet before the sound. */
  readonly startDb: number;
  /** Largest rise later, in dB. */
  readonly laterDb: number;
}

/** The level is the mean square over this, in s. */
const ENVELOPE_S = 0.01;

/** The level is looked at this often, in s. */
const STEP_S = 0.001;

/** A rise happens within this, in s. */
const RISE_S = 0.05;

/** Rises below this are no onsets, in dB: our own. */
const ONSET_DB = 10;

/** What belongs to the start of the sound, in s: a rise and what rings on. */
const START_S = 0.1;

/** Level of a quiet bedroom, in dB(A) (WHO, Guidelines for community noise, 1999, table 4.1). */
const QUIET_DB = 30;

/**
 * Suddenness of a sound that comes out of the quiet.
 *
 * @param sound - Samples in Pa, at 8 to 192 kHz.
 * @throws {RangeError} A sample rate outside that range.
 */
export function onsetSuddenness(sound: Sound): Suddenness {
  requireInRange(sound.sampleRateHz, 'sampleRateHz', METER_RATES_HZ.min, METER_RATES_HZ.max, 'Hz');
  const rises = risesOf(envelopeDb(sound));
  const onsets: Onset[] = [];
  for (let step = 0; step < rises.length; step++) {
    if (rises[step]! < ONSET_DB) continue;
    let highest = step;
    for (; step < rises.length && rises[step]! >= ONSET_DB; step++) {
      if (rises[step]! > rises[highest]!) highest = step;
    }
    onsets.push({ timeS: (highest + 1) * STEP_S, riseDb: rises[highest]! });
  }
  const start = Math.round(START_S / STEP_S);
  return {
    onsets,
    startDb: largest(rises.subarray(0, start)),
    laterDb: largest(rises.subarray(start)),
  };
}

/** A-weighted level over the last 10 ms at the end of every millisecond, in dB re 20 uPa. */
function envelopeDb(sound: Sound): Float64Array {
  const filter = new BiquadCascade(aWeightingSections(sound.sampleRateHz));
  const energies: number[] = [];
  const endOf = (step: number): number => Math.round(step * STEP_S * sound.sampleRateHz);
  let [energy, samples, end] = [0, 0, endOf(1)];
  for (const block of sound.blocks()) {
    const weighted = new Float64Array(block.length);
    filter.process(block, weighted);
    for (const sample of weighted) {
      energy += sample * sample;
      samples += 1;
      if (samples < end) continue;
      energies.push(energy);
      energy = 0;
      end = endOf(energies.length + 1);
    }
  }
  const steps = Math.round(ENVELOPE_S / STEP_S);
  return Float64Array.from(energies, (_, i) => {
    let sum = 0;
    for (let k = Math.max(0, i - steps + 1); k <= i; k++) sum += energies[k]!;
    const pa2 = sum / (ENVELOPE_S * sound.sampleRateHz);
    return Math.max(QUIET_DB, pa2ToDbSpl(pa2));
  });
}

/** How far each level is above the lowest of the 50 ms before it; before the start it was quiet. */
function risesOf(levelsDb: Float64Array): Float64Array {
  const steps = Math.round(RISE_S / STEP_S);
  return levelsDb.map((levelDb, i) => {
    let lowest = i < steps ? QUIET_DB : Infinity;
    for (let k = Math.max(0, i - steps); k < i; k++) lowest = Math.min(lowest, levelsDb[k]!);
    return Math.max(0, levelDb - lowest);
  });
}

const largest = (rises: Float64Array): number =>
  rises.reduce((highest, rise) => Math.max(highest, rise), 0);
