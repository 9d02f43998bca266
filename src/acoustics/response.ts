/**
 * How a scanner turns gradients into pressure at the head: one linear, time-invariant response per
 * physical axis, in Pa/(mT/m) (Hedeen and Edelstein, Magn Reson Med 1997).
 *
 * The parametric model is a broad resonance (pressure rises with frequency below the ring frequency
 * of the gradient coil and falls above it) with a steeper fall at high frequency, plus the modes of
 * the structure and of the air in the bore, each a resonance of its own. Everything is a ratio of
 * polynomials in jf with its poles on the stable side, so the response is causal.
 *
 * @module
 */
import { AXES, type Axis } from '../gradients/timeline.js';

/** A resonance: where, how sharp (quality factor), how strong relative to the broad maximum. */
export interface Mode {
  readonly hertz: number;
  readonly q: number;
  /** dB re the broad maximum. */
  readonly levelDb: number;
}

export interface AxisModel {
  /** dB re the model's scale. */
  readonly levelDb: number;
  /** The broad maximum. */
  readonly ring: { readonly hertz: number; readonly q: number };
  readonly modes: readonly Mode[];
}

/** How one scanner turns gradients into pressure, whatever it is known from. */
export interface ScannerResponse {
  readonly name: string;
  /** What it rests on, for people. */
  readonly note: string;
  /** Whether it was measured on the scanner, or is a model of scanners in general. */
  readonly measured: boolean;
  /** All that it is computed from: where this is equal, the response is. */
  readonly madeFrom: readonly (string | Float64Array)[];
  /** The response of each axis on the bins of an FFT, at a field strength in tesla. */
  readonly spectra: (fieldStrength: number, fftSize: number, sampleRateHz: number) => AxisSpectra;
}

/** A response model, as its file in `sounds-synth/responses/` gives it. */
export interface ResponseModel {
  readonly name: string;
  /** What it rests on, for people. */
  readonly note: string;
  /** Field strength that the scale holds for, in tesla; pressure is proportional to the field. */
  readonly fieldStrength: number;
  /** Pressure at the broad maximum, in Pa/(mT/m). */
  readonly pascalPerMilliteslaPerMetre: number;
  /** Below this frequency the response falls by 12 dB per octave more, in Hz. */
  readonly lowCutHz: number;
  /** Above this frequency the response falls by 12 dB per octave more, in Hz. */
  readonly highCutHz: number;
  readonly axes: Readonly<Record<Axis, AxisModel>>;
}

/** Interleaved complex bins 0 to N/2 per axis, shape `[N + 2]`, in Pa/(mT/m). */
export type AxisSpectra = Readonly<Record<Axis, Float64Array>>;

/** The response of a parametric model. */
export function modelResponse(model: ResponseModel): ScannerResponse {
  return {
    name: model.name,
    note: model.note,
    measured: false,
    madeFrom: [JSON.stringify(model)],
    spectra: (fieldStrength, fftSize, sampleRateHz) => {
      const scale = model.pascalPerMilliteslaPerMetre * (fieldStrength / model.fieldStrength);
      return Object.fromEntries(
        AXES.map(axis => [axis, axisSpectrum(model, axis, scale, fftSize, sampleRateHz)]),
      ) as unknown as AxisSpectra;
    },
  };
}

function axisSpectrum(
  model: ResponseModel,
  axis: Axis,
  scale: number,
  fftSize: number,
  sampleRateHz: number,
): Float64Array {
  const { levelDb, ring, modes } = model.axes[axis];
  const gain = scale * 10 ** (levelDb / 20);
  const resonances = [
    { ...ring, gain },
    ...modes.map(({ hertz, q, levelDb: modeDb }) => ({
      hertz,
      q,
      gain: gain * 10 ** (modeDb / 20),
    })),
  ];
  const spectrum = new Float64Array(fftSize + 2);
  for (let bin = 1; bin <= fftSize / 2; bin++) {
    const hertz = (bin * sampleRateHz) / fftSize;
    let re = 0;
    let im = 0;
    for (const resonance of resonances) {
      // Band-pass of second order, gain 1 at its centre: 1 / (1 + jQ (f/f0 - f0/f)).
      const detuning = resonance.q * (hertz / resonance.hertz - resonance.hertz / hertz);
      const power = resonance.gain / (1 + detuning * detuning);
      re += power;
      im -= power * detuning;
    }
    const [cutRe, cutIm] = cuts(model, hertz);
    spectrum[2 * bin] = re * cutRe - im * cutIm;
    spectrum[2 * bin + 1] = re * cutIm + im * cutRe;
  }
  return spectrum;
}

/** Second-order Butterworth high-pass and low-pass together. */
function cuts(model: ResponseModel, hertz: number): readonly [re: number, im: number] {
  const low = hertz / model.lowCutHz;
  const high = hertz / model.highCutHz;
  // High-pass -x^2 / (1 - x^2 + j sqrt2 x), low-pass 1 / (1 - y^2 + j sqrt2 y).
  const numerator = -low * low;
  const [aRe, aIm] = [1 - low * low, Math.SQRT2 * low];
  const [bRe, bIm] = [1 - high * high, Math.SQRT2 * high];
  const re = aRe * bRe - aIm * bIm;
  const im = aRe * bIm + aIm * bRe;
  const norm = numerator / (re * re + im * im);
  return [norm * re, -norm * im];
}
