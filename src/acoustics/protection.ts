/**
 * Hearing protection: what it takes off per frequency.
 *
 * @module
 */

/** An attenuation curve, as its file in `sounds-synth/protection/` gives it. */
export interface Protection {
  readonly name: string;
  /** What it rests on, for people. */
  readonly note: string;
  /** Attenuation at octave-band frequencies, rising in Hz. */
  readonly octaves: readonly { readonly hertz: number; readonly attenuationDb: number }[];
  /** Taken off every value for fit: children, hurried fitting. */
  readonly deratingDb: number;
  /** No more than this reaches past bone conduction, in dB. */
  readonly boneConductionLimitDb: number;
}

/**
 * Attenuation at a frequency in dB, at least 0: a smooth curve through the octave values over the
 * logarithm of frequency, flat beyond the first and last.
 */
export function attenuationDb(protection: Protection, hertz: number): number {
  const { octaves, deratingDb, boneConductionLimitDb } = protection;
  const curve = monotoneCubic(
    octaves.map(octave => Math.log2(octave.hertz)),
    octaves.map(octave => octave.attenuationDb),
    Math.log2(Math.max(hertz, 1)),
  );
  return Math.max(0, Math.min(curve, boneConductionLimitDb) - deratingDb);
}

/** Piecewise cubic through points without overshoot (Fritsch and Carlson 1980, slopes by harmonic mean). */
function monotoneCubic(xs: readonly number[], ys: readonly number[], x: number): number {
  const last = xs.length - 1;
  if (x <= xs[0]!) return ys[0]!;
  if (x >= xs[last]!) return ys[last]!;
  const i = xs.findIndex(next => next > x) - 1;
  const chord = (k: number): number => (ys[k + 1]! - ys[k]!) / (xs[k + 1]! - xs[k]!);
  const slope = (k: number): number => {
    if (k === 0) return chord(0);
    if (k === last) return chord(last - 1);
    const [before, after] = [chord(k - 1), chord(k)];
    return before * after <= 0 ? 0 : (2 * before * after) / (before + after);
  };
  const width = xs[i + 1]! - xs[i]!;
  const t = (x - xs[i]!) / width;
  const [t2, t3] = [t * t, t * t * t];
  return (
    (2 * t3 - 3 * t2 + 1) * ys[i]! +
    (t3 - 2 * t2 + t) * width * slope(i) +
    (3 * t2 - 2 * t3) * ys[i + 1]! +
    (t3 - t2) * width * slope(i + 1)
  );
}
