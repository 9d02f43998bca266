/**
 * A sound made dull and even: high tones filtered off, and fast ups and downs of its loudness evened
 * out, which is what makes a sound harsh.
 *
 * The filter is a Butterworth low-pass of second order. The rhythm is evened by the ratio of a slow
 * and a fast running power of the sound: (slow / fast) to the power of half the share that is taken.
 * The fast one looks ahead by its own delay, so that a beat is softened from its first wave on.
 *
 * @module
 */
import { BiquadCascade, type Biquad } from './biquad.js';
import { requireInRange } from './require.js';
import { inPieces, type Sound } from './sound.js';

export interface Softening {
  /** The low-pass is 3 dB down here. */
  readonly lowPassHertz: number;
  /** Share of the fast modulation that is left, from 0 to 1. */
  readonly modulationShare: number;
}

/** Time constant of the fast power, in s: it follows beats up to some 150 Hz. Two in series. */
const FAST_SECONDS = 0.001;

/** Time constant of the slow power, in s. */
const SLOW_SECONDS = 0.25;

/** Quiet moments are raised by at most this, as a power ratio: 6 dB. */
const MOST_GAIN = 4;

/** A power that is as good as silence, so that no ratio is of zeros. */
const SILENCE = 1e-24;

/**
 * The sound, softened; as long as before.
 *
 * @throws {RangeError} A low-pass outside 50 Hz to 45 % of the sample rate, or a share outside 0 to 1.
 */
export function softenSound(sound: Sound, { lowPassHertz, modulationShare }: Softening): Sound {
  const { sampleRateHz, length } = sound;
  requireInRange(lowPassHertz, 'lowPassHertz', 50, 0.45 * sampleRateHz, 'Hz');
  requireInRange(modulationShare, 'modulationShare', 0, 1, '(ratio)');
  return {
    sampleRateHz,
    length,
    *blocks() {
      const filter = new BiquadCascade([butterworth(lowPassHertz, sampleRateHz)]);
      for (const block of evened(sound, 1 - modulationShare)) {
        filter.process(block, block);
        yield block;
      }
    },
  };
}

/** The sound with its fast modulation reduced by a share of its level in dB; blocks of our own. */
function* evened(sound: Sound, share: number): Generator<Float64Array> {
  const rate = sound.sampleRateHz;
  const ahead = Math.round(2 * FAST_SECONDS * rate);
  const fastKeep = Math.exp(-1 / (FAST_SECONDS * rate));
  const slowKeep = Math.exp(-1 / (SLOW_SECONDS * rate));
  const delayed = new Float64Array(ahead);
  let at = 0;
  let [fast1, fast, slow] = [0, 0, 0];
  let skip = ahead;
  const run = (block: Float64Array): Float64Array => {
    const out = new Float64Array(block.length);
    let filled = 0;
    for (const sample of block) {
      const power = sample * sample;
      fast1 = power + fastKeep * (fast1 - power);
      fast = fast1 + fastKeep * (fast - fast1);
      slow = power + slowKeep * (slow - power);
      const ratio = Math.min((slow + SILENCE) / (fast + SILENCE), MOST_GAIN);
      if (skip > 0) skip -= 1;
      else out[filled++] = ratio ** (share / 2) * delayed[at]!;
      delayed[at] = sample;
      at = at + 1 === ahead ? 0 : at + 1;
    }
    return out.subarray(0, filled);
  };
  for (const block of inPieces(sound.blocks())) {
    const out = run(block);
    if (out.length > 0) yield out;
  }
  // What is still in the delay; a sound shorter than it has not begun to come out.
  if (skip > 0) run(new Float64Array(skip));
  yield run(new Float64Array(Math.min(ahead, sound.length)));
}

/** Low-pass of second order by the bilinear transform, exact at its corner. */
function butterworth(hertz: number, sampleRateHz: number): Biquad {
  const k = Math.tan((Math.PI * hertz) / sampleRateHz);
  const a0 = 1 + Math.SQRT2 * k + k * k;
  const b0 = (k * k) / a0;
  return {
    b0,
    b1: 2 * b0,
    b2: b0,
    a1: (2 * (k * k - 1)) / a0,
    a2: (1 - Math.SQRT2 * k + k * k) / a0,
  };
}
