/**
 * One gradient event of a Pulseq sequence as a waveform in mT/m.
 *
 * Source: Pulseq file format specification 1.5, sections "Time raster, temporal alignment and shape
 * sampling conventions" and "Gradients".
 *
 * @module
 */
import type {
  PulseqGradient,
  PulseqShapedGradient,
  PulseqTrapezoid,
} from '../formats/pulseq/sequence.js';
import { type ShapeKnots, shapeKnots } from '../formats/pulseq/shapes.js';
import type { Waveform } from './timeline.js';

/** A waveform whose times count from the start of its block. */
export interface EventWaveform extends Waveform {
  /**
   * Whether its first and last amplitude are not known: samples lie at the centres of raster cells,
   * and before 1.5 a file does not say what the gradient is at the edges. They are NaN here, and follow
   * from what is played before and after.
   */
  readonly open: boolean;
}

/** From Hz/m to mT/m: the gyromagnetic ratio of the proton that Pulseq's tools use, 42.576 MHz/T. */
export const HZ_PER_M_PER_MT_PER_M = 42.576e3;

/** The waveform of a gradient; undefined for one that is zero all the time. */
export function eventWaveform(
  gradient: PulseqGradient,
  rasterSeconds: number,
): EventWaveform | undefined {
  const [first, last] = gradient.kind === 'shaped' ? (gradient.edgesHzPerM ?? [0, 0]) : [0, 0];
  if (gradient.amplitudeHzPerM === 0 && first === 0 && last === 0) return undefined;
  return gradient.kind === 'trapezoid' ? trapezoid(gradient) : shaped(gradient, rasterSeconds);
}

function trapezoid({
  amplitudeHzPerM,
  delaySeconds,
  riseSeconds,
  flatSeconds,
  fallSeconds,
}: PulseqTrapezoid): EventWaveform {
  const amplitude = amplitudeHzPerM / HZ_PER_M_PER_MT_PER_M;
  const topSeconds = delaySeconds + riseSeconds;
  const corners: (readonly [timeSeconds: number, amplitude: number])[] = [
    [delaySeconds, 0],
    [topSeconds, amplitude],
  ];
  if (flatSeconds > 0) corners.push([topSeconds + flatSeconds, amplitude]);
  corners.push([topSeconds + flatSeconds + fallSeconds, 0]);
  return {
    timesSeconds: Float64Array.from(corners, ([timeSeconds]) => timeSeconds),
    amplitudes: Float64Array.from(corners, ([, value]) => value),
    open: false,
  };
}

function shaped(gradient: PulseqShapedGradient, rasterSeconds: number): EventWaveform {
  const { amplitudeHzPerM, delaySeconds, shape, times, edgesHzPerM } = gradient;
  const scale = amplitudeHzPerM / HZ_PER_M_PER_MT_PER_M;
  const knots = shapeKnots(shape);
  if (typeof times === 'object') {
    const [timeKnots, valueKnots] = atCommonIndices(shapeKnots(times), knots);
    return {
      timesSeconds: timeKnots.map(rasters => delaySeconds + rasters * rasterSeconds),
      amplitudes: valueKnots.map(value => scale * value),
      open: false,
    };
  }
  // Sample n lies at the centre of cell n; oversampled, at half rasters from the first centre on.
  const stepSeconds = times === 'centres' ? rasterSeconds : rasterSeconds / 2;
  const [first, last] = edgesHzPerM ?? [NaN, NaN];
  const count = knots.indices.length;
  const timesSeconds = new Float64Array(count + 2);
  const amplitudes = new Float64Array(count + 2);
  timesSeconds[0] = delaySeconds;
  amplitudes[0] = first / HZ_PER_M_PER_MT_PER_M;
  for (let i = 0; i < count; i++) {
    timesSeconds[i + 1] = delaySeconds + rasterSeconds / 2 + knots.indices[i]! * stepSeconds;
    amplitudes[i + 1] = scale * knots.values[i]!;
  }
  timesSeconds[count + 1] = delaySeconds + (shape.length - 1) * stepSeconds + rasterSeconds;
  amplitudes[count + 1] = last / HZ_PER_M_PER_MT_PER_M;
  return { timesSeconds, amplitudes, open: edgesHzPerM === undefined };
}

/** Two shapes of equal length, both at every sample number where one of them has a corner. */
function atCommonIndices(
  a: ShapeKnots,
  b: ShapeKnots,
): readonly [aValues: Float64Array, bValues: Float64Array] {
  const indices: number[] = [];
  for (let i = 0, j = 0; i < a.indices.length || j < b.indices.length;) {
    const [ofA, ofB] = [a.indices[i] ?? Infinity, b.indices[j] ?? Infinity];
    indices.push(Math.min(ofA, ofB));
    if (ofA <= ofB) i += 1;
    if (ofB <= ofA) j += 1;
  }
  return [valuesAt(a, indices), valuesAt(b, indices)];
}

/** Values at rising sample numbers, on the straight lines between corners. */
function valuesAt({ indices, values }: ShapeKnots, wanted: readonly number[]): Float64Array {
  let knot = 0;
  return Float64Array.from(wanted, index => {
    while (indices[knot]! < index) knot += 1;
    if (indices[knot] === index) return values[knot]!;
    const share = (index - indices[knot - 1]!) / (indices[knot]! - indices[knot - 1]!);
    return values[knot - 1]! + share * (values[knot]! - values[knot - 1]!);
  });
}
