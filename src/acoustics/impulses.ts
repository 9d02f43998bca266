/**
 * What is heard at a place of listening as impulse responses, and these on the bins of any FFT.
 *
 * @module
 */
import { AXES, type Axis } from '../gradients/timeline.js';
import { realSpectrum, signalOfSpectrum } from '../signal/fft.js';
import { SAMPLE_RATE_HZ } from '../signal/sound.js';
import { type Listening, listeningSpectra } from './listening.js';
import type { AxisSpectra } from './response.js';

/** How long a gradient rings on, in s: the slowest mode has decayed by more than 90 dB. */
export const RINGING_SECONDS = 0.35;

/** Size of the transform the impulse responses come from: 0.74 s. */
const SIZE = 2 ** 15;

/** Samples kept before time zero: half of the filter that takes the sampling kernel's gain out again. */
export const LEAD = 256;

/**
 * The impulse response of each axis in Pa/(mT/m) per sample: `LEAD` samples before time zero, then
 * `RINGING_SECONDS`.
 */
export function impulsesOf(listening: Listening): AxisSpectra {
  const spectra = listeningSpectra(listening, SIZE, SAMPLE_RATE_HZ);
  const length = Math.round(RINGING_SECONDS * SAMPLE_RATE_HZ);
  return perAxis(axis => {
    const circular = signalOfSpectrum(spectra[axis]);
    const impulse = new Float64Array(LEAD + length);
    impulse.set(circular.subarray(SIZE - LEAD), 0);
    impulse.set(circular.subarray(0, length), LEAD);
    return impulse;
  });
}

/** Spectra of {@link impulsesOf} on the bins of an FFT, its time zero at sample 0. */
export function spectraOf(impulses: AxisSpectra, fftSize: number): AxisSpectra {
  return perAxis(axis => {
    const circular = new Float64Array(fftSize);
    circular.set(impulses[axis].subarray(LEAD, LEAD + fftSize - LEAD), 0);
    circular.set(impulses[axis].subarray(0, LEAD), fftSize - LEAD);
    return realSpectrum(circular);
  });
}

const perAxis = (make: (axis: Axis) => Float64Array): AxisSpectra =>
  Object.fromEntries(AXES.map(axis => [axis, make(axis)])) as unknown as AxisSpectra;
