/**
 * How loudness lingers: a critical band's core loudness falls slower than its level, and the slower
 * the longer the sound was.
 *
 * Source: ISO 532-1:2017, 6.2 and Annex A. The standard thinks of a network with two capacitors: the
 * first follows a rise at once; when the sound ends both discharge fast (5 ms) until they are level,
 * and slowly (15 ms) from there. The second charges at 75 ms, so after a short sound it holds little
 * and the fall stays fast for longer.
 *
 * @module
 */
import { FRAME_RATE_HZ } from './third-octave-filters.js';

/** Time constants in s (ISO 532-1:2017, A.3). */
const SHORT_SECONDS = 0.005;
const LONG_SECONDS = 0.015;
const CHARGE_SECONDS = 0.075;

/** Steps from one frame to the next, on a straight line between their values. */
const STEPS = 24;

/** Core loudness below this has faded, in sone/Bark; it would take minutes to reach zero. */
const NOTHING = 1e-9;

/** The two together discharge at these rates, in 1/s: the roots of the network's equation. */
const HALF_SUM = (CHARGE_SECONDS + LONG_SECONDS) / (2 * CHARGE_SECONDS * SHORT_SECONDS);
const HALF_DIFFERENCE = Math.sqrt(HALF_SUM ** 2 - 1 / (SHORT_SECONDS * CHARGE_SECONDS));
const SLOW = HALF_DIFFERENCE - HALF_SUM;
const FAST = -HALF_DIFFERENCE - HALF_SUM;

/** The solution over one step: what becomes of each capacitor out of both. */
const STEP_SECONDS = 1 / (FRAME_RATE_HZ * STEPS);
const [OF_SLOW, OF_FAST] = [CHARGE_SECONDS * SLOW + 1, CHARGE_SECONDS * FAST + 1];
const [SLOW_LEFT, FAST_LEFT] = [Math.exp(SLOW * STEP_SECONDS), Math.exp(FAST * STEP_SECONDS)];
const SCALE = CHARGE_SECONDS * (SLOW - FAST);
const FIRST_OF_FIRST = (OF_SLOW * SLOW_LEFT - OF_FAST * FAST_LEFT) / SCALE;
const FIRST_OF_SECOND = (OF_SLOW * OF_FAST * (SLOW_LEFT - FAST_LEFT)) / SCALE;
const SECOND_OF_FIRST = (SLOW_LEFT - FAST_LEFT) / SCALE;
const SECOND_OF_SECOND = (OF_FAST * SLOW_LEFT - OF_SLOW * FAST_LEFT) / SCALE;

/** What is left after one step of a discharge of both as one, and of what the second still lacks. */
const LONG = Math.exp(-STEP_SECONDS / LONG_SECONDS);
const CHARGE = Math.exp(-STEP_SECONDS / CHARGE_SECONDS);

/** The network of each of several bands. */
export class LoudnessDecay {
  private readonly first: Float64Array;
  private readonly second: Float64Array;

  constructor(private readonly bands: number) {
    this.first = new Float64Array(bands);
    this.second = new Float64Array(bands);
  }

  /**
   * Takes the bands' values at a frame and at the next one.
   *
   * @param output - Where the values at this frame go, with what lingers.
   */
  push(now: Float64Array, next: Float64Array, output: Float64Array): void {
    for (let band = 0; band < this.bands; band++) {
      let input = now[band]!;
      const rise = (next[band]! - input) / STEPS;
      let u = this.first[band]!;
      let v = this.second[band]!;
      if (input === 0 && rise === 0 && u < NOTHING) u = v = 0;
      for (let step = 0; step < STEPS && (u > 0 || input > 0 || rise > 0); step++) {
        if (input >= u) {
          if (input > u || u > v) v = input + (v - input) * CHARGE;
          u = input;
        } else if (u > v) {
          const other = u * SECOND_OF_FIRST - v * SECOND_OF_SECOND;
          u = Math.max(input, u * FIRST_OF_FIRST - v * FIRST_OF_SECOND);
          v = Math.min(other, u);
        } else {
          u = Math.max(input, u * LONG);
          v = u;
        }
        if (step === 0) output[band] = u;
        input += rise;
      }
      if (u === 0) output[band] = 0;
      this.first[band] = u;
      this.second[band] = v;
    }
  }
}
