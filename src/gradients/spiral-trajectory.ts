/**
 * The Archimedean spiral: outward through k-space from its middle, as fast as amplitude and slew rate
 * allow, then back.
 *
 * In units of gradient area the trajectory is `a = lambda theta e^(i theta)`, so that neighbouring
 * turns of all interleaves lie one sampling distance apart. With `w = theta'` the gradient is
 * `a' = lambda w (1 + i theta) e^(i theta)`, and its slew rate has the square
 * `lambda^2 ((w' - theta w^2)^2 + (theta w' + 2 w^2)^2)`: set to its limit, this is a quadratic
 * equation for `w'`, which is integrated in small steps until the amplitude limit takes over.
 *
 * @module
 */
import type { GradientLimits } from './hardware.js';
import { type Lobe, lobeDurationSeconds, shortestLobe } from './lobes.js';
import { encodingArea } from './physics.js';
import type { Waveform } from './timeline.js';

export interface SpiralShape {
  readonly fieldOfViewMm: number;
  readonly voxelMm: number;
  /** Spirals that together fill k-space, each turned against the next. */
  readonly interleaves: number;
}

export interface SpiralTrajectory {
  /** The two gradients in the plane of the spiral; zero at both ends. */
  readonly along: Waveform;
  readonly across: Waveform;
  /** Until the end of the readout, and until everything is rewound, in s. */
  readonly readoutSeconds: number;
  readonly durationSeconds: number;
  /** Turns per s at the end of the readout, where the chirp has come down to its lowest. */
  readonly lastTurnHz: number;
}

/** Step of the integration in s, and how many of them from corner to corner of the waveform: 10 us, a usual gradient raster. */
const STEP_SECONDS = 1e-6;
const STEPS_PER_CORNER = 10;

/** Share of the slew limit that is planned for: what is left covers the chords between corners. */
const SLEW_SHARE = 0.99;

export function spiralTrajectory(shape: SpiralShape, limits: GradientLimits): SpiralTrajectory {
  const lambda = (shape.interleaves * encodingArea(shape.fieldOfViewMm)) / (2 * Math.PI);
  const lastTheta = encodingArea(shape.voxelMm) / 2 / lambda;
  const corners = new Corners();
  let theta = 0;
  let rate = 0;
  let step = 0;
  for (; theta < lastTheta; step++) {
    if (step % STEPS_PER_CORNER === 0)
      corners.add(step * STEP_SECONDS, gradientAt(lambda, theta, rate));
    // Midpoint rule.
    const halfRate = rate + (STEP_SECONDS / 2) * acceleration(lambda, theta, rate, limits);
    const halfTheta = theta + (STEP_SECONDS / 2) * rate;
    rate += STEP_SECONDS * acceleration(lambda, halfTheta, halfRate, limits);
    rate = Math.min(rate, limits.amplitude / (lambda * Math.hypot(1, theta)));
    theta += STEP_SECONDS * halfRate;
  }
  const readoutSeconds = step * STEP_SECONDS;
  const last = gradientAt(lambda, theta, rate);
  corners.add(readoutSeconds, last);
  const endSeconds = rewind(corners, readoutSeconds, last, limits);
  return {
    ...corners.waveforms(),
    readoutSeconds,
    durationSeconds: endSeconds,
    lastTurnHz: rate / (2 * Math.PI),
  };
}

type Vector = readonly [along: number, across: number];

/** Gradient in mT/m at an angle in rad that grows at a rate in rad/s. */
function gradientAt(lambda: number, theta: number, rate: number): Vector {
  const [cos, sin] = [Math.cos(theta), Math.sin(theta)];
  return [lambda * rate * (cos - theta * sin), lambda * rate * (sin + theta * cos)];
}

/** The largest growth of the rate that the slew limit allows, in rad/s2. */
function acceleration(
  lambda: number,
  theta: number,
  rate: number,
  { slewRate }: GradientLimits,
): number {
  const a = 1 + theta ** 2;
  const b = 2 * theta * rate ** 2;
  const c = rate ** 4 * (theta ** 2 + 4) - ((SLEW_SHARE * slewRate * 1e3) / lambda) ** 2;
  return (-b + Math.sqrt(Math.max(0, b ** 2 - 4 * a * c))) / (2 * a);
}

/** Ramps the gradient down and brings k-space back to its middle. Returns the end in s. */
function rewind(
  corners: Corners,
  readoutSeconds: number,
  [along, across]: Vector,
  limits: GradientLimits,
): number {
  const rampSeconds = Math.hypot(along, across) / (SLEW_SHARE * limits.slewRate * 1e3);
  const zeroSeconds = readoutSeconds + rampSeconds;
  corners.add(zeroSeconds, [0, 0]);
  const [areaAlong, areaAcross] = corners.area();
  const area = Math.hypot(areaAlong, areaAcross);
  const lobe: Lobe = shortestLobe(-area, limits);
  const plateau: Vector = [
    (lobe.amplitude * areaAlong) / area,
    (lobe.amplitude * areaAcross) / area,
  ];
  corners.add(zeroSeconds + lobe.rampSeconds, plateau);
  if (lobe.flatSeconds > 0) corners.add(zeroSeconds + lobe.rampSeconds + lobe.flatSeconds, plateau);
  const endSeconds = zeroSeconds + lobeDurationSeconds(lobe);
  corners.add(endSeconds, [0, 0]);
  return endSeconds;
}

/** Corners of a waveform with two components. */
class Corners {
  private readonly timesSeconds: number[] = [];
  private readonly vectors: Vector[] = [];

  add(timeSeconds: number, vector: Vector): void {
    // A corner just before would make a slope of rounding errors.
    if (timeSeconds - (this.timesSeconds.at(-1) ?? -1) < 2 * STEP_SECONDS) {
      this.timesSeconds.pop();
      this.vectors.pop();
    }
    this.timesSeconds.push(timeSeconds);
    this.vectors.push(vector);
  }

  /** Time integral so far, in mT/m s. */
  area(): Vector {
    const sum = [0, 0];
    for (let i = 1; i < this.timesSeconds.length; i++) {
      const stepSeconds = this.timesSeconds[i]! - this.timesSeconds[i - 1]!;
      for (const axis of [0, 1] as const) {
        sum[axis]! += (stepSeconds * (this.vectors[i]![axis] + this.vectors[i - 1]![axis])) / 2;
      }
    }
    return [sum[0]!, sum[1]!];
  }

  waveforms(): { readonly along: Waveform; readonly across: Waveform } {
    const timesSeconds = Float64Array.from(this.timesSeconds);
    const of = (axis: 0 | 1): Waveform => ({
      timesSeconds,
      amplitudes: Float64Array.from(this.vectors, vector => vector[axis]),
    });
    return { along: of(0), across: of(1) };
  }
}
