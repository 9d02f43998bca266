/**
 * `ebur128-wasm`, a general-purpose loudness meter, as a second opinion. The package is made for
 * bundlers; here its WebAssembly is loaded directly.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

interface Exports {
  readonly memory: WebAssembly.Memory;
  readonly __wbindgen_malloc: (bytes: number) => number;
  readonly ebur128_integrated_mono: (rateHz: number, samples: number, length: number) => number;
  readonly ebur128_integrated_stereo: (
    rateHz: number,
    left: number,
    leftLength: number,
    right: number,
    rightLength: number,
  ) => number;
  readonly ebur128_true_peak_mono: (rateHz: number, samples: number, length: number) => number;
}

const instance = load();

/** Integrated loudness of one or two channels in LUFS. */
export function integratedLufs(channels: readonly Float64Array[], sampleRateHz: number): number {
  const [left, right] = channels.map(copyIn) as [number, number?];
  const length = channels[0]!.length;
  return right === undefined
    ? instance.ebur128_integrated_mono(sampleRateHz, left, length)
    : instance.ebur128_integrated_stereo(sampleRateHz, left, length, right, length);
}

/** True peak of one channel in dBTP. */
export const truePeakDbtp = (samples: Float64Array, sampleRateHz: number): number =>
  instance.ebur128_true_peak_mono(sampleRateHz, copyIn(samples), samples.length);

/** The callee frees what is copied. */
function copyIn(samples: Float64Array): number {
  const pointer = instance.__wbindgen_malloc(4 * samples.length);
  new Float32Array(instance.memory.buffer, pointer, samples.length).set(samples);
  return pointer;
}

function load(): Exports {
  // The package has no main entry, so the file is resolved by its path.
  const file = createRequire(import.meta.url).resolve('ebur128-wasm/ebur128_wasm_bg.wasm');
  const module = new WebAssembly.Module(readFileSync(file));
  const nothing = (): number => 0;
  const imports = Object.fromEntries(
    WebAssembly.Module.imports(module).map(({ name }) => [name, nothing]),
  );
  const { exports } = new WebAssembly.Instance(module, { './ebur128_wasm_bg.js': imports });
  return exports as unknown as Exports;
}
