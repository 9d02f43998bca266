/**
 * Hum of the mains in a recording: lines at multiples of 50 or 60 Hz that keep their phase, while
 * speech comes and goes.
 *
 * The recording is taken apart into short windows, the softer ones count for more, since hum is best
 * heard between words; what adds up in phase over all of them is hum, if it stands out of what adds
 * up at frequencies around it. Our own method; `tests/levels/mains-hum.test.ts` says how well it does.
 *
 * @module
 */
import { dbToPower, powerToDb } from '../signal/decibels.js';
import { resample } from '../signal/resample.js';

export interface MainsHum {
  /** Frequency of the mains in Hz. */
  readonly mainsHz: 50 | 60;
  /** Level of the hum re the whole recording's RMS, in dB. */
  readonly levelDb: number;
}

const MAINS_HZ = [50, 60] as const;

/** Multiples that are looked at. */
const MULTIPLES = 8;

/** Rate at which it is done: twice what the highest multiple needs. */
const ANALYSIS_RATE_HZ = 2000;

/** Length of a window and distance of the next, in s. */
const WINDOW_SECONDS = 0.1;
const HOP_SECONDS = 0.05;

/** Shortest recording in which lines can be told from speech, in s. */
const SHORTEST_SECONDS = 0.5;

/** Grids are off by up to 0.2 Hz (from memory); at these distances, times the multiple, it is looked for. */
const OFF_HZ = [-0.2, -0.1, 0, 0.1, 0.2] as const;

/** Where nothing of a line is: distances from it in Hz. */
const AROUND_HZ = [5, 8, 11, 14, 17, 20].flatMap(hz => [-hz, hz]);

/** A line is so much above what is around it, in dB: chance alone gets there once in 10 000 recordings. */
const STANDS_OUT_DB = 10;

/** A window's weight is never more than that of one so far below the mean, in dB. */
const SOFTEST_DB = -40;

/** The stronger of the two hums; undefined when there is none, or too little sound to tell. */
export function mainsHum(samples: Float64Array, sampleRateHz: number): MainsHum | undefined {
  const total = meanSquare(samples);
  if (!(samples.length >= SHORTEST_SECONDS * sampleRateHz) || total === 0) return undefined;
  const windows = windowsOf(resample(samples, sampleRateHz, ANALYSIS_RATE_HZ), total);
  const powerAt = (hertz: number): number => coherentPower(windows, hertz);
  const hums = MAINS_HZ.map(mainsHz => {
    let power = 0;
    for (let k = 1; k <= MULTIPLES; k++) {
      const line = Math.max(...OFF_HZ.map(off => powerAt(k * (mainsHz + off))));
      const around = AROUND_HZ.map(aside => powerAt(k * mainsHz + aside));
      const mean = around.reduce((sum, x) => sum + x, 0) / around.length;
      if (line > dbToPower(STANDS_OUT_DB) * mean) power += line;
    }
    return { mainsHz, levelDb: powerToDb(power / total) };
  });
  const strongest = hums.reduce((a, b) => (b.levelDb > a.levelDb ? b : a));
  return strongest.levelDb === -Infinity ? undefined : strongest;
}

interface Window {
  readonly start: number;
  /** Under a raised cosine, scaled so that a sine of amplitude 1 gives a sum of 1/2. */
  readonly samples: Float64Array;
  readonly weight: number;
}

function windowsOf(samples: Float64Array, total: number): readonly Window[] {
  const length = WINDOW_SECONDS * ANALYSIS_RATE_HZ;
  const hop = HOP_SECONDS * ANALYSIS_RATE_HZ;
  const shape = Float64Array.from(
    { length },
    (_, i) => (1 - Math.cos((2 * Math.PI * (i + 0.5)) / length)) / length,
  );
  const windows: Window[] = [];
  for (let start = 0; start + length <= samples.length; start += hop) {
    const part = samples.subarray(start, start + length);
    const power = meanSquare(part) / total;
    windows.push({
      start,
      samples: part.map((x, i) => x * shape[i]!),
      weight: 1 / Math.max(power, dbToPower(SOFTEST_DB)),
    });
  }
  return windows;
}

/** Mean square of what is in phase at a frequency in all windows. */
function coherentPower(windows: readonly Window[], hertz: number): number {
  const turn = (2 * Math.PI * hertz) / ANALYSIS_RATE_HZ;
  const length = windows[0]!.samples.length;
  const cos = Float64Array.from({ length }, (_, i) => Math.cos(turn * i));
  const sin = Float64Array.from({ length }, (_, i) => Math.sin(turn * i));
  let [re, im, weights] = [0, 0, 0];
  for (const { start, samples, weight } of windows) {
    let [a, b] = [0, 0];
    for (let i = 0; i < length; i++) {
      a += cos[i]! * samples[i]!;
      b -= sin[i]! * samples[i]!;
    }
    // Turned back to the phase at the recording's start.
    const [c, s] = [Math.cos(turn * start), Math.sin(turn * start)];
    re += weight * (a * c + b * s);
    im += weight * (b * c - a * s);
    weights += weight;
  }
  // Amplitude 1 gives a modulus of 1/2 and a mean square of 1/2.
  return (2 * (re * re + im * im)) / weights ** 2;
}

const meanSquare = (samples: Float64Array): number =>
  samples.reduce((sum, x) => sum + x * x, 0) / samples.length;
