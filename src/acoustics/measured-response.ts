/**
 * A scanner's response from measurements: magnitudes over frequency, or impulse responses.
 *
 * A magnitude says nothing of phase; minimum phase is made from it, which an ear cannot tell from the
 * true one for sounds like these. Between measured frequencies the magnitude follows a straight line
 * in dB over the logarithm of frequency; outside them it falls by 12 dB per octave, as one that was
 * not measured there should not be heard.
 *
 * @module
 */
import { AXES, type Axis } from '../gradients/timeline.js';
import { realSpectrum } from '../signal/fft.js';
import { minimumPhase } from '../signal/minimum-phase.js';
import type { AxisSpectra, ScannerResponse } from './response.js';

/** Magnitudes of up to three axes at common frequencies. */
export interface MagnitudeTable {
  /** Rising, above 0. */
  readonly hertz: readonly number[];
  /** Pa/(mT/m), or relative; above 0. An axis that was not measured takes the mean of the others. */
  readonly axes: Readonly<Partial<Record<Axis, readonly number[]>>>;
  /** Whether magnitudes are relative: they are then scaled to the loudness of a reference response. */
  readonly relative: boolean;
}

/** Band over which a relative response is made as strong as the reference, in Hz: where scans are loud. */
const SCALING_BAND_HZ = { low: 300, high: 3000 };

/** Decay outside the measured frequencies, dB per octave. */
const OUTSIDE_DB_PER_OCTAVE = 12;

/** The response of a table of magnitudes. */
export function magnitudeResponse(
  name: string,
  table: MagnitudeTable,
  reference: ScannerResponse,
): ScannerResponse {
  return {
    name,
    note: `measured magnitudes from ${table.hertz[0]!} to ${table.hertz.at(-1)!} Hz, minimum phase`,
    measured: true,
    madeFrom: [JSON.stringify(table), ...(table.relative ? reference.madeFrom : [])],
    spectra: (fieldStrength, fftSize, sampleRateHz) => {
      const magnitudes = axisMagnitudes(table, fftSize, sampleRateHz);
      const scale = table.relative
        ? scaleTo(
            reference.spectra(fieldStrength, fftSize, sampleRateHz),
            magnitudes,
            sampleRateHz / fftSize,
          )
        : 1;
      return perAxis(axis => minimumPhase(magnitudes[axis].map(magnitude => magnitude * scale)));
    },
  };
}

/** The response of impulse responses, one per axis, in Pa/(mT/m) per sample at `sampleRateHz`. */
export function impulseResponse(
  name: string,
  impulses: Readonly<Record<Axis, Float64Array>>,
): ScannerResponse {
  return {
    name,
    note: 'measured impulse responses',
    measured: true,
    madeFrom: AXES.map(axis => impulses[axis]),
    spectra: (_fieldStrength, fftSize) =>
      perAxis(axis => {
        const padded = new Float64Array(fftSize);
        padded.set(impulses[axis].subarray(0, fftSize));
        return realSpectrum(padded);
      }),
  };
}

const perAxis = <T>(make: (axis: Axis) => T): Readonly<Record<Axis, T>> =>
  Object.fromEntries(AXES.map(axis => [axis, make(axis)])) as unknown as Record<Axis, T>;

/** Magnitudes on the bins 0 to N/2 of an FFT. Bin 0 is 0. */
function axisMagnitudes(
  table: MagnitudeTable,
  fftSize: number,
  sampleRateHz: number,
): Readonly<Record<Axis, Float64Array>> {
  const measured = AXES.flatMap(axis => {
    const values = table.axes[axis];
    return values === undefined ? [] : [values];
  });
  const mean = table.hertz.map((_, i) =>
    Math.sqrt(measured.reduce((sum, values) => sum + values[i]! ** 2, 0) / measured.length),
  );
  return perAxis(axis => {
    const values = table.axes[axis] ?? mean;
    const magnitudes = new Float64Array(fftSize / 2 + 1);
    let below = 0;
    for (let bin = 1; bin < magnitudes.length; bin++) {
      const hertz = (bin * sampleRateHz) / fftSize;
      while (below < table.hertz.length - 2 && table.hertz[below + 1]! <= hertz) below += 1;
      magnitudes[bin] = interpolated(table.hertz, values, below, hertz);
    }
    return magnitudes;
  });
}

/** The magnitude at a frequency; `below` is the last measured point at or under it. */
function interpolated(
  hertz: readonly number[],
  values: readonly number[],
  below: number,
  at: number,
): number {
  const [first, last] = [hertz[0]!, hertz.at(-1)!];
  if (at < first) return values[0]! * outsideGain(first / at);
  if (at > last) return values.at(-1)! * outsideGain(at / last);
  const share = Math.log(at / hertz[below]!) / Math.log(hertz[below + 1]! / hertz[below]!);
  return values[below]! * (values[below + 1]! / values[below]!) ** share;
}

const outsideGain = (ratio: number): number =>
  10 ** ((-OUTSIDE_DB_PER_OCTAVE * Math.log2(ratio)) / 20);

/** Factor that gives magnitudes the energy of a reference in the scaling band, all axes together. */
function scaleTo(
  reference: AxisSpectra,
  magnitudes: Readonly<Record<Axis, Float64Array>>,
  binHz: number,
): number {
  let wanted = 0;
  let found = 0;
  for (const axis of AXES) {
    const spectrum = reference[axis];
    for (
      let bin = Math.ceil(SCALING_BAND_HZ.low / binHz);
      bin <= SCALING_BAND_HZ.high / binHz;
      bin++
    ) {
      wanted += spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2;
      found += magnitudes[axis][bin]! ** 2;
    }
  }
  return Math.sqrt(wanted / found);
}
