/**
 * A Pulseq sequence as its `.seq` file gives it: typed sections, references resolved, nothing
 * computed yet.
 *
 * Amplitudes keep the format's unit (Hz/m of proton); times are in seconds.
 *
 * Source: Pulseq file format specification, versions 1.2.0 to 1.5.1 (CC BY 4.0).
 *
 * @module
 */

export interface PulseqVersion {
  readonly minor: number;
  /** The number that the revision begins with: 1 for `1post1`. */
  readonly revision: number;
  /** As written, for example `1.4.1post1`. */
  readonly text: string;
}

/** Time rasters in s. */
export interface PulseqRasters {
  readonly gradientSeconds: number;
  readonly rfSeconds: number;
  /** Unit of block durations. */
  readonly blockSeconds: number;
}

/** A shape as stored: maybe compressed. `shapeKnots` gives its samples. */
export interface PulseqShape {
  readonly id: number;
  /** Number of samples, decompressed. */
  readonly length: number;
  readonly stored: Float64Array;
  readonly compressed: boolean;
}

export interface PulseqTrapezoid {
  readonly kind: 'trapezoid';
  readonly amplitudeHzPerM: number;
  readonly delaySeconds: number;
  readonly riseSeconds: number;
  readonly flatSeconds: number;
  readonly fallSeconds: number;
}

export interface PulseqShapedGradient {
  readonly kind: 'shaped';
  readonly amplitudeHzPerM: number;
  readonly delaySeconds: number;
  readonly shape: PulseqShape;
  /**
   * Times of the samples: a shape in units of the gradient raster; the centres of raster cells; or
   * every half raster from the first centre on (oversampled).
   */
  readonly times: PulseqShape | 'centres' | 'half-raster';
  /** Amplitudes at both edges; undefined where the version does not write them (before 1.5). */
  readonly edgesHzPerM: readonly [first: number, last: number] | undefined;
}

export type PulseqGradient = PulseqTrapezoid | PulseqShapedGradient;

/** A radio-frequency pulse or a readout: when it starts and ends in its block, delay included. */
export interface PulseqEvent {
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** What a pulse is for: `e` excitation, `r` refocusing ...; undefined where not written. */
  readonly use?: string;
}

/** A unit quaternion: `[cos(angle/2), sin(angle/2) x axis]`. */
export type Quaternion = readonly [w: number, x: number, y: number, z: number];

/** The blocks in the order in which they are played, by column, shape `[count]`. */
export interface PulseqBlocks {
  readonly count: number;
  /** Unit of `durations`, in s. */
  readonly unitSeconds: number;
  /** Whole numbers of units. */
  readonly durations: Float64Array;
  /** Identification numbers of events; 0 for none. */
  readonly rf: Int32Array;
  readonly x: Int32Array;
  readonly y: Int32Array;
  readonly z: Int32Array;
  readonly adc: Int32Array;
  readonly rotation: Int32Array;
}

export interface PulseqSequence {
  readonly version: PulseqVersion;
  /** Every definition as text. */
  readonly definitions: ReadonlyMap<string, string>;
  readonly rasters: PulseqRasters;
  readonly blocks: PulseqBlocks;
  /** By identification number, as every map here. */
  readonly gradients: ReadonlyMap<number, PulseqGradient>;
  readonly rf: ReadonlyMap<number, PulseqEvent>;
  readonly adc: ReadonlyMap<number, PulseqEvent>;
  /** Rotations of the three gradients of a block together. */
  readonly rotations: ReadonlyMap<number, Quaternion>;
  /** Names of extensions that softknock does not know, and that the file does not require. */
  readonly unknownExtensions: readonly string[];
}
