/**
 * The loops that a meter spends its time in, as WebAssembly with vectors: `src/kernels`, which is
 * compiled before all else. A kernel keeps nothing between calls: whoever runs one puts its input and its
 * state into the kernel's memory, calls it and takes both out again.
 *
 * @module
 */
import { KERNELS_BINARY } from './kernels-binary.js';

/** What is used of the standard's interface, which no type library without a browser describes. */
declare const WebAssembly: {
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: unknown };
};

/** A constant of the kernels, or an address in their memory. */
interface Place {
  readonly value: number;
}

/** What `src/kernels/index.ts` exports: places in the memory, constants and functions. */
interface Exports {
  readonly memory: { readonly buffer: ArrayBuffer };
  readonly PIECE: Place;
  readonly weighSamples: Place;
  readonly weighC: Place;
  readonly weighFilter: Place;
  readonly weighState: Place;
  readonly weigh: (from: number, to: number) => void;
  readonly PEAK_HELD: Place;
  readonly peakSamples: Place;
  readonly peakHeld: Place;
  readonly peakTaps: Place;
  readonly peak: (count: number, soFar: number) => number;
  readonly HALVE_BEFORE: Place;
  readonly halveInput: Place;
  readonly halveOutput: Place;
  readonly halveBy4: (outputs: number) => void;
  readonly halveBy8: (outputs: number) => void;
  readonly FRAME: Place;
  readonly pairFirst: Place;
  readonly pairSecond: Place;
  readonly pairSlope: Place;
  readonly pairTwiddles: Place;
  readonly pairEnergy: Place;
  readonly pairSpectrum: () => void;
}

const kernels = instantiate();

function instantiate(): Exports {
  const bytes = Uint8Array.from(atob(KERNELS_BINARY), letter => letter.charCodeAt(0));
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes));
  return exports as Exports;
}

const doubles = (place: Place, length: number): Float64Array =>
  new Float64Array(kernels.memory.buffer, place.value, length);

const singles = (place: Place, length: number): Float32Array =>
  new Float32Array(kernels.memory.buffer, place.value, length);

/** Samples that a kernel takes at a time at most. */
export const PIECE = kernels.PIECE.value;

/** Calls with pieces of a block, in order, which share its memory. */
export function forEachPiece(block: Float64Array, use: (piece: Float64Array) => void): void {
  for (let from = 0; from < block.length; from += PIECE) use(block.subarray(from, from + PIECE));
}

/** `src/kernels/weigh.ts`. */
export const weighing = {
  samples: doubles(kernels.weighSamples, PIECE),
  cWeighted: doubles(kernels.weighC, PIECE),
  filter: doubles(kernels.weighFilter, 24),
  state: doubles(kernels.weighState, 22),
  run: kernels.weigh,
};

/** `src/kernels/peak.ts`. */
export const peakFinding = {
  samples: doubles(kernels.peakSamples, PIECE),
  held: singles(kernels.peakHeld, kernels.PEAK_HELD.value),
  taps: singles(kernels.peakTaps, 36),
  run: kernels.peak,
};

/** Samples before the first that are held for {@link halving}. */
const HALVE_BEFORE = kernels.HALVE_BEFORE.value;

/** `src/kernels/halve.ts`. */
export const halving = {
  input: doubles(kernels.halveInput, HALVE_BEFORE + PIECE),
  output: doubles(kernels.halveOutput, (HALVE_BEFORE + PIECE) / 2),
  runBy4: kernels.halveBy4,
  runBy8: kernels.halveBy8,
};

/** Samples of a frame of {@link pairing}. */
export const FRAME_SAMPLES = kernels.FRAME.value;

/** `src/kernels/pair-spectrum.ts`. */
export const pairing = {
  first: doubles(kernels.pairFirst, FRAME_SAMPLES),
  second: doubles(kernels.pairSecond, FRAME_SAMPLES),
  slope: doubles(kernels.pairSlope, FRAME_SAMPLES / 8),
  twiddles: doubles(kernels.pairTwiddles, 3 * (FRAME_SAMPLES - 4)),
  energy: doubles(kernels.pairEnergy, FRAME_SAMPLES),
  run: kernels.pairSpectrum,
};
