/** How loudness lingers, against the equations of the network that ISO 532-1:2017, 6.2, describes. */
import { describe, expect, test } from 'vitest';
import { LoudnessDecay } from '../../src/levels/loudness-decay.js';

/** Frames a second. */
const FRAME_RATE_HZ = 2000;

/** Time constants in s that the standard gives (A.3). */
const SHORT_SECONDS = 0.005;
const LONG_SECONDS = 0.015;
const CHARGE_SECONDS = 0.075;

/** 1 sone/Bark for a while, then nothing. */
const pulse = (onSeconds: number): Float64Array =>
  Float64Array.from({ length: Math.round((onSeconds + 0.05) * FRAME_RATE_HZ) }, (_, frame) =>
    frame < onSeconds * FRAME_RATE_HZ ? 1 : 0,
  );

function decayed(input: Float64Array): Float64Array {
  const decay = new LoudnessDecay(1);
  const output = new Float64Array(1);
  return input.map((value, frame) => {
    decay.push(Float64Array.of(value), Float64Array.of(input[frame + 1] ?? value), output);
    return output[0]!;
  });
}

/**
 * The network in small steps: while the first capacitor is above the second, it loses to the load and
 * to the second, which charges through its own resistor; once they are level they fall as one. It
 * follows a rising input at once.
 */
function slowly(input: Float64Array): Float64Array {
  const steps = 500;
  const stepSeconds = 1 / (FRAME_RATE_HZ * steps);
  const exchange = (LONG_SECONDS / SHORT_SECONDS - 1) / CHARGE_SECONDS;
  let [u, v] = [0, 0];
  return input.map((value, frame) => {
    const next = input[frame + 1] ?? value;
    let output = 0;
    for (let step = 0; step < steps; step++) {
      const now = value + ((next - value) * step) / steps;
      if (u > v) {
        const flow = u - v;
        u -= stepSeconds * (u / SHORT_SECONDS + exchange * flow);
        v += (stepSeconds * flow) / CHARGE_SECONDS;
      } else {
        u -= (stepSeconds * u) / LONG_SECONDS;
      }
      u = Math.max(u, now);
      v = Math.min(v, u);
      if (step === 0) output = u;
    }
    return output;
  });
}

describe.each([0.005, 0.02, 0.1, 0.5])('after %d s of sound', onSeconds => {
  test('what is left follows the network within 1 % of the whole', () => {
    const input = pulse(onSeconds);
    const [ours, expected] = [decayed(input), slowly(input)];
    for (const [frame, value] of expected.entries()) {
      expect(Math.abs(ours[frame]! - value), `frame ${frame}`).toBeLessThan(0.01);
    }
  });
});

test('a long sound falls at 15 ms from its end, a very short one at 5 ms or faster', () => {
  const after = (onSeconds: number, laterSeconds: number): number => {
    const end = Math.round(onSeconds * FRAME_RATE_HZ);
    const values = decayed(pulse(onSeconds));
    return values[end + Math.round(laterSeconds * FRAME_RATE_HZ)]! / values[end]!;
  };
  expect(after(1, 0.015)).toBeCloseTo(Math.exp(-1), 1);
  expect(after(0.001, 0.005)).toBeLessThan(Math.exp(-1));
});

test('a rise is followed at once, and silence stays silent', () => {
  expect([...decayed(Float64Array.of(0, 0, 1, 2, 2))]).toEqual([0, 0, 1, 2, 2]);
});

test('what has faded comes to exactly nothing', () => {
  const values = decayed(
    Float64Array.from({ length: 2 * FRAME_RATE_HZ }, (_, frame) => (frame < 100 ? 1 : 0)),
  );
  expect(values.at(-1)).toBe(0);
});
