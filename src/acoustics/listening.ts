/**
 * Where one listens: the response of the scanner as it reaches the ear, ready to multiply spectra of
 * sampled gradients with.
 *
 * @module
 */
import { AXES, type Axis } from '../gradients/timeline.js';
import { minimumPhase } from '../signal/minimum-phase.js';
import { attenuationDb, type Protection } from './protection.js';
import type { AxisSpectra, ScannerResponse } from './response.js';
import { samplingGain } from './sample-waveform.js';

/** In the bore without hearing protection, or under it. */
export type Perspective = 'bore' | 'protected';

export interface Listening {
  readonly response: ScannerResponse;
  /** Tesla. */
  readonly fieldStrength: number;
  /** What is worn; undefined in the bore without protection. */
  readonly protection: Protection | undefined;
}

/** Softknock's sounds end here: full below, nothing above, a soft edge between, in Hz. */
const TOP_HZ = { full: 16_500, none: 20_000 };

/**
 * Complex gain of hearing protection on the bins of an FFT: its attenuation with minimum phase, so
 * that nothing is heard before it happens.
 *
 * @returns Interleaved bins 0 to N/2, shape `[fftSize + 2]`.
 */
export function protectionSpectrum(
  protection: Protection,
  fftSize: number,
  sampleRateHz: number,
): Float64Array {
  const magnitudes = new Float64Array(fftSize / 2 + 1);
  for (let bin = 0; bin < magnitudes.length; bin++) {
    magnitudes[bin] = 10 ** (-attenuationDb(protection, (bin * sampleRateHz) / fftSize) / 20);
  }
  return minimumPhase(magnitudes);
}

/**
 * From spectra of sampled gradients (mT/m) to the pressure spectrum at the ear (Pa): the response of
 * each axis, hearing protection, and the sampling kernel's gain taken out.
 */
export function listeningSpectra(
  listening: Listening,
  fftSize: number,
  sampleRateHz: number,
): AxisSpectra {
  const { response, fieldStrength, protection } = listening;
  const axes = response.spectra(fieldStrength, fftSize, sampleRateHz);
  const worn =
    protection === undefined ? undefined : protectionSpectrum(protection, fftSize, sampleRateHz);
  return Object.fromEntries(
    AXES.map(axis => [axis, shape(axes[axis], worn, fftSize, sampleRateHz)]),
  ) as unknown as Record<Axis, Float64Array>;
}

function shape(
  spectrum: Float64Array,
  worn: Float64Array | undefined,
  fftSize: number,
  sampleRateHz: number,
): Float64Array {
  const shaped = new Float64Array(spectrum.length);
  for (let bin = 0; bin <= fftSize / 2; bin++) {
    const hertz = (bin * sampleRateHz) / fftSize;
    if (hertz > TOP_HZ.none) break;
    const gain = topEdge(hertz) / samplingGain(hertz, sampleRateHz);
    const re = spectrum[2 * bin]! * gain;
    const im = spectrum[2 * bin + 1]! * gain;
    const wornRe = worn?.[2 * bin] ?? 1;
    const wornIm = worn?.[2 * bin + 1] ?? 0;
    shaped[2 * bin] = re * wornRe - im * wornIm;
    shaped[2 * bin + 1] = re * wornIm + im * wornRe;
  }
  return shaped;
}

/** 1 below the edge, 0 above it, a raised cosine between: a hard edge would ring before its time. */
function topEdge(hertz: number): number {
  const { full, none } = TOP_HZ;
  if (hertz <= full) return 1;
  return 0.5 + 0.5 * Math.cos((Math.PI * (hertz - full)) / (none - full));
}
