/** Sounds in Pa of known sound pressure level. */
import { fftSizeFor } from '../../src/signal/fft.js';
import { bandNoise, sine } from './signals.js';

/** Reference pressure in Pa. */
const REFERENCE_PA = 20e-6;

/** Pressure in Pa of a level in dB re 20 uPa. */
export const pascals = (levelDb: number): number => REFERENCE_PA * 10 ** (levelDb / 20);

/** A tone. */
export const tonePa = (
  hertz: number,
  levelDb: number,
  seconds: number,
  sampleRateHz: number,
): Float64Array => sine(hertz, seconds, sampleRateHz, { peak: Math.SQRT2 * pascals(levelDb) });

/** Samples scaled so that their level over the whole is exact. */
export function atLevelPa(samples: Float64Array, levelDb: number): Float64Array {
  const meanSquare = samples.reduce((sum, x) => sum + x * x, 0) / samples.length;
  const gain = pascals(levelDb) / Math.sqrt(meanSquare);
  return samples.map(x => gain * x);
}

/** A tone with a sine-shaped modulation of its amplitude, of depth 0 to 1; the level includes it. */
export function modulatedPa(options: {
  readonly carrierHz: number;
  readonly modulationHz: number;
  readonly depth?: number;
  readonly levelDb: number;
  readonly seconds: number;
  readonly sampleRateHz: number;
}): Float64Array {
  const { carrierHz, modulationHz, depth = 1, levelDb, seconds, sampleRateHz } = options;
  const carrier = sine(carrierHz, seconds, sampleRateHz);
  const samples = carrier.map(
    (x, i) => x * (1 + depth * Math.cos((2 * Math.PI * modulationHz * i) / sampleRateHz)),
  );
  return atLevelPa(samples, levelDb);
}

/** Noise of one band, white within it unless a slope is given (1 is pink). */
export function noisePa(options: {
  readonly fromHz: number;
  readonly toHz: number;
  readonly slope?: number;
  readonly levelDb: number;
  readonly seconds: number;
  readonly sampleRateHz: number;
}): Float64Array {
  const { fromHz, toHz, slope = 0, levelDb, seconds, sampleRateHz } = options;
  const length = fftSizeFor(seconds * sampleRateHz);
  const seed = `${fromHz}-${toHz}`;
  return atLevelPa(
    bandNoise({ length, sampleRateHz, fromHz, toHz, slope, levelDbfs: 0, seed }),
    levelDb,
  );
}
