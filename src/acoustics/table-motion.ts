/**
 * The ride of the table, as it is heard by the one who lies on it: the hum of a motor that starts
 * softly, runs evenly and slows down, and a clunk when the table locks.
 *
 * A sum of sines, so hearing protection takes its attenuation off each. Pitch, colour and level are
 * plausible, measured at no scanner: common practice, no source.
 *
 * @module
 */
import { SAMPLE_RATE_HZ, type Sound } from '../signal/sound.js';
import { attenuationDb, type Protection } from './protection.js';

/** The motor's hum: its pitch in Hz at full speed, and the amplitudes of its harmonics in Pa, about 65 dBA together. */
const HUM_HZ = 112;
const HUM_PA = [0.05, 0.036, 0.03, 0.018, 0.012, 0.01, 0.006, 0.005, 0.003, 0.002];

/** Speeding up and slowing down, in s each. */
const RAMP_SECONDS = 0.7;

/** The clunk: modes of the table, each with its amplitude in Pa and its decay in s; and the room it has at the end, in s. */
const CLUNK = [
  { hertz: 74, amplitude: 0.2, decaySeconds: 0.07 },
  { hertz: 163, amplitude: 0.14, decaySeconds: 0.045 },
  { hertz: 391, amplitude: 0.07, decaySeconds: 0.025 },
  { hertz: 905, amplitude: 0.03, decaySeconds: 0.01 },
];
const CLUNK_SECONDS = 0.5;

const BLOCK_SAMPLES = 8192;

/**
 * A whole ride in Pa at the ear.
 *
 * @param durationSeconds - Length in s, the clunk included.
 * @param protection - What is worn; undefined in the bore without protection.
 */
export function tableMotion(durationSeconds: number, protection: Protection | undefined): Sound {
  const length = Math.round(durationSeconds * SAMPLE_RATE_HZ);
  const travelSeconds = Math.max(0, durationSeconds - CLUNK_SECONDS);
  const worn = (hertz: number): number =>
    protection === undefined ? 1 : 10 ** (-attenuationDb(protection, hertz) / 20);
  const hum = HUM_PA.map((amplitude, i) => amplitude * worn((i + 1) * HUM_HZ));
  const clunk = CLUNK.map(mode => ({ ...mode, amplitude: mode.amplitude * worn(mode.hertz) }));
  return {
    sampleRateHz: SAMPLE_RATE_HZ,
    length,
    *blocks() {
      for (let start = 0; start < length; start += BLOCK_SAMPLES) {
        const block = new Float64Array(Math.min(BLOCK_SAMPLES, length - start));
        for (let i = 0; i < block.length; i++) {
          const timeSeconds = (start + i) / SAMPLE_RATE_HZ;
          block[i] =
            timeSeconds < travelSeconds
              ? humAt(timeSeconds, travelSeconds, hum)
              : clunkAt(timeSeconds - travelSeconds, clunk);
        }
        yield block;
      }
    },
  };
}

/** The hum at a time: pitch and loudness follow the speed of the motor. */
function humAt(timeSeconds: number, travelSeconds: number, amplitudes: readonly number[]): number {
  const rampSeconds = Math.min(RAMP_SECONDS, travelSeconds / 2);
  const [sinceSeconds, leftSeconds] = [timeSeconds, travelSeconds - timeSeconds];
  const speed = Math.min(1, sinceSeconds / rampSeconds, leftSeconds / rampSeconds);
  // The distance travelled: half of a square on the ramps.
  const distanceSeconds =
    sinceSeconds < rampSeconds
      ? sinceSeconds ** 2 / (2 * rampSeconds)
      : leftSeconds < rampSeconds
        ? travelSeconds - rampSeconds - leftSeconds ** 2 / (2 * rampSeconds)
        : sinceSeconds - rampSeconds / 2;
  const phase = 2 * Math.PI * HUM_HZ * distanceSeconds;
  const twiceCosine = 2 * Math.cos(phase);
  let before = 0;
  let sine = Math.sin(phase);
  let sum = 0;
  for (const amplitude of amplitudes) {
    sum += amplitude * sine;
    [before, sine] = [sine, twiceCosine * sine - before];
  }
  return speed * sum;
}

function clunkAt(timeSeconds: number, modes: typeof CLUNK): number {
  let sum = 0;
  for (const { hertz, amplitude, decaySeconds } of modes) {
    sum +=
      amplitude *
      Math.exp(-timeSeconds / decaySeconds) *
      Math.sin(2 * Math.PI * hertz * timeSeconds);
  }
  return sum;
}
