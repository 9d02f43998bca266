/** Energies of pairs of frames against fft.js, frame by frame, under a window written down anew. */
import FftJs from 'fft.js';
import { describe, expect, test } from 'vitest';
import { FRAME_SAMPLES } from '../../src/signal/kernels.js';
import { FRAME_OVERLAP, PairSpectrum } from '../../src/signal/pair-spectrum.js';
import { seededRandom } from '../../src/signal/random.js';
import { sine } from '../helpers/signals.js';

/** Rounding, as a share of the largest energy of a bin. */
const ROUNDING = 1e-13;

const random = seededRandom('pairs');

const noise = (): Float64Array =>
  Float64Array.from({ length: FRAME_SAMPLES }, () => random.normal());

/** Vorbis I specification, 4.3.1, at both ends, and flat between. */
const WINDOW = Float64Array.from({ length: FRAME_SAMPLES }, (_, n) => {
  const place = Math.min(n, FRAME_SAMPLES - 1 - n) + 0.5;
  if (place > FRAME_OVERLAP) return 1;
  return Math.sin((Math.PI / 2) * Math.sin((Math.PI * place) / (2 * FRAME_OVERLAP)) ** 2);
});

/** Energies of bins 0 to half the frame and their mirror images, by fft.js. */
function energies(frame: Float64Array): number[] {
  const fft = new FftJs(FRAME_SAMPLES);
  const spectrum = fft.createComplexArray();
  fft.realTransform(
    spectrum,
    [...frame].map((sample, n) => sample * WINDOW[n]!),
  );
  return Array.from({ length: FRAME_SAMPLES / 2 + 1 }, (_, bin) => {
    const power = spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2;
    return bin === 0 || bin === FRAME_SAMPLES / 2 ? power : 2 * power;
  });
}

function expectSum(spectrum: PairSpectrum, frames: readonly Float64Array[]): void {
  const parts = frames.map(energies);
  const sums = parts[0]!.map((_, bin) => parts.reduce((sum, part) => sum + part[bin]!, 0));
  const largest = Math.max(...sums);
  sums.forEach((sum, bin) => {
    const error = Math.abs(spectrum.energyAt(bin) - sum) / largest;
    expect(error, `bin ${bin}`).toBeLessThan(ROUNDING);
  });
}

describe('the energies of two frames are those of each, summed', () => {
  const silence = new Float64Array(FRAME_SAMPLES);
  const tone = sine(1000, FRAME_SAMPLES / 44_100, 44_100);
  test.each([
    ['noise and noise', noise(), noise()],
    ['noise and silence', noise(), silence],
    ['silence and a tone', silence, tone],
    ['a tone and noise far below it', tone, noise().map(sample => sample * 1e-6)],
  ])('%s', (_, first, second) => {
    const spectrum = new PairSpectrum();
    spectrum.add(first, second);
    expectSum(spectrum, [first, second]);
  });

  test('and of several pairs too', () => {
    const frames = [noise(), noise(), noise(), noise()] as const;
    const spectrum = new PairSpectrum();
    spectrum.add(frames[0], frames[1]);
    spectrum.add(frames[2], frames[3]);
    expectSum(spectrum, frames);
  });
});

test('one sum does not know of another', () => {
  const [one, other] = [new PairSpectrum(), new PairSpectrum()];
  const [first, second] = [noise(), noise()];
  one.add(first, second);
  other.add(noise(), noise());
  expectSum(one, [first, second]);
});
