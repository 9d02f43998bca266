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
  rasterS: number,
): EventWaveform | undefined {
  const [first, last] = gradient.kind === 'shaped' ? (gradient.edgesHzPerM ?? [0, 0]) : [0, 0];
  if (gradient.amplitudeHzPerM === 0 && first === 0 && last === 0) return undefined;
  return gradient.kind === 'trapezoid' ? trapezoid(gradient) : shaped(gradient, rasterS);
}

function trapezoid({
  amplitudeHzPerM,
  delayS,
  riseS,
  flatS,
  fallS,
}: PulseqTrapezoid): EventWaveform {
  const amplitude = amplitudeHzPerM / HZ_PER_M_PER_MT_PER_M;
  const topS = delayS + riseS;
  const corners: (readonly [timeS: number, amplitude: number])[] = [
    [delayS, 0],
    [topS, amplitude],
  ];
  if (flatS > 0) corners.push([topS + flatS, amplitude]);
  corners.push([topS + flatS + fallS, 0]);
  return {
    timesS: Float64Array.from(corners, ([timeS]) => timeS),
    amplitudes: Float64Array.from(corners, ([, value]) => value),
    open: false,
  };
}

function shaped(gradient: PulseqShapedGradient, rasterS: number): EventWaveform {
  const { amplitudeHzPerM, delayS, shape, times, edgesHzPerM } = gradient;
  const scale = amplitudeHzPerM / HZ_PER_M_PER_MT_PER_M;
  const knots = shapeKnots(shape);
  if (typeof times === 'object') {
    const [timeKnots, valueKnots] = atCommonIndices(shapeKnots(times), knots);
    return {
      timesS: timeKnots.map(rasters => delayS + rasters * rasterS),
      amplitudes: valueKnots.map(value => scale * value),
      open: false,
    };
  }
  // Sample n lies at the centre of cell n; oversampled, at half rasters from the first centre on.
  const stepS = times === 'centres' ? rasterS : rasterS / 2;
  const [first, last] = edgesHzPerM ?? [NaN, NaN];
  const count = knots.indices.length;
  const timesS = new Float64Array(count + 2);
  const amplitudes = new Float64Array(count + 2);
  timesS[0] = delayS;
  amplitudes[0] = first / HZ_PER_M_PER_MT_PER_M;
  for (let i = 0; i < count; i++) {
    timesS[i + 1] = delayS + rasterS / 2 + knots.indices[i]! * stepS;
    amplitudes[i + 1] = scale * knots.values[i]!;
  }
  timesS[count + 1] = delayS + (shape.length - 1) * stepS + rasterS;
  amplitudes[count + 1] = last / HZ_PER_M_PER_MT_PER_M;
  return { timesS, amplitudes, open: edgesHzPerM === undefined };
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
