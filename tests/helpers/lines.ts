/** Spectral lines of audio, found without the code under test: a Blackman-Harris window and fft.js itself. */
import FftJs from 'fft.js';

export interface SpectralLine {
  readonly hertz: number;
  /** dB re 1. */
  readonly levelDb: number;
}

export interface LineSpectrum {
  readonly binHz: number;
  /** Power per bin, shape `[N/2 + 1]`. */
  readonly power: Float64Array;
}

/** Power spectrum of the first 2^k samples that fit. */
export function lineSpectrum(samples: Float64Array, sampleRateHz: number): LineSpectrum {
  const size = 2 ** Math.floor(Math.log2(samples.length));
  const windowed = Array.from({ length: size }, (_, n) => {
    const x = (2 * Math.PI * n) / size;
    const window =
      0.35875 - 0.48829 * Math.cos(x) + 0.14128 * Math.cos(2 * x) - 0.01168 * Math.cos(3 * x);
    return samples[n]! * window;
  });
  const fft = new FftJs(size);
  const out = fft.createComplexArray() as number[];
  fft.realTransform(out, windowed);
  const power = Float64Array.from(
    { length: size / 2 + 1 },
    (_, bin) => out[2 * bin]! ** 2 + out[2 * bin + 1]! ** 2,
  );
  return { binHz: sampleRateHz / size, power };
}

/** The strongest line between two frequencies, its place refined by a parabola through three bins in dB. */
export function strongestLine(
  { binHz, power }: LineSpectrum,
  lowHz: number,
  highHz: number,
): SpectralLine {
  let best = Math.ceil(lowHz / binHz);
  for (let bin = best; bin <= highHz / binHz; bin++) if (power[bin]! > power[best]!) best = bin;
  const [a, b, c] = [power[best - 1]!, power[best]!, power[best + 1]!].map(p => 10 * Math.log10(p));
  const shift = (a! - c!) / (2 * (a! - 2 * b! + c!));
  return { hertz: (best + shift) * binHz, levelDb: b! - ((a! - c!) * shift) / 4 };
}

/** Every line in a band that stands at least `aboveDb` over its neighbourhood, in order of frequency. */
export function linesIn(
  spectrum: LineSpectrum,
  lowHz: number,
  highHz: number,
  aboveDb: number,
): readonly SpectralLine[] {
  const { binHz, power } = spectrum;
  const strongest = strongestLine(spectrum, lowHz, highHz).levelDb;
  const lines: SpectralLine[] = [];
  for (let bin = Math.ceil(lowHz / binHz); bin <= highHz / binHz; bin++) {
    const here = power[bin]!;
    const isPeak = [-3, -2, -1, 1, 2, 3].every(step => power[bin + step]! < here);
    if (isPeak && 10 * Math.log10(here) > strongest - aboveDb) {
      lines.push(strongestLine(spectrum, (bin - 1.4) * binHz, (bin + 1.4) * binHz));
    }
  }
  return lines;
}
