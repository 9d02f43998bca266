/**
 * Energy spectra of real frames, two at a time through one complex transform: what a spectrum over a
 * long sound is summed from.
 *
 * @module
 */
import { FRAME_SAMPLES, pairing } from './kernels.js';

/** Samples at either end of a frame that are faded, and that two neighbours share. */
export const FRAME_OVERLAP = pairing.slope.length;

let isLaidOut = false;

/** Fills the kernel's tables: when they are first needed, since most meters have no use for them. */
function layOut(): void {
  if (isLaidOut) return;
  pairing.slope.set(powerComplementarySlope(FRAME_OVERLAP));
  pairing.twiddles.set(twiddles());
  isLaidOut = true;
}

/** Sums the energies of pairs of frames. */
export class PairSpectrum {
  /** In the order of the transform. */
  private readonly energies = new Float64Array(FRAME_SAMPLES);

  constructor() {
    layOut();
  }

  /** Adds two frames of {@link FRAME_SAMPLES}, which are faded at both ends. */
  add(first: Float64Array, second: Float64Array): void {
    const { energies } = this;
    const { energy } = pairing;
    pairing.first.set(first);
    pairing.second.set(second);
    pairing.run();
    for (let i = 0; i < energies.length; i++) energies[i]! += energy[i]!;
  }

  /**
   * Sum of |X|^2 of all frames at a bin from 0 to FRAME_SAMPLES / 2 and at its mirror image.
   *
   * |Z(k)|^2 + |Z(-k)|^2 of a pair is 2 (|X(k)|^2 + |Y(k)|^2) of its frames: no need to part them.
   */
  energyAt(bin: number): number {
    const there = this.energies[reversedDigits(bin)]!;
    const isAlone = bin === 0 || bin === FRAME_SAMPLES / 2;
    return isAlone ? there : there + this.energies[reversedDigits(FRAME_SAMPLES - bin)]!;
  }
}

/** sin(pi/2 sin^2(...)), rising: its square and that of its mirror image sum to one (Vorbis I, 4.3.1). */
function powerComplementarySlope(length: number): Float64Array {
  return Float64Array.from({ length }, (_, n) =>
    Math.sin((Math.PI / 2) * Math.sin((Math.PI * (n + 0.5)) / (2 * length)) ** 2),
  );
}

/** As the kernel lays them out. */
function twiddles(): number[] {
  const all: number[] = [];
  for (let points = FRAME_SAMPLES; points > 4; points /= 4) {
    for (let k = 0; k < points / 4; k++) {
      for (const power of [1, 2, 3]) {
        const angle = (-2 * Math.PI * power * k) / points;
        all.push(Math.cos(angle), -Math.sin(angle), Math.sin(angle));
      }
    }
  }
  return all;
}

/** Where a bin lies in the output of the transform: at its number with the digits to base 4 in reverse. */
function reversedDigits(number: number): number {
  let reversed = 0;
  for (
    let place = 1, rest = number;
    place < FRAME_SAMPLES;
    place *= 4, rest = Math.floor(rest / 4)
  ) {
    reversed = 4 * reversed + (rest % 4);
  }
  return reversed;
}
