/**
 * Sounds heard at once.
 *
 * @module
 */
import { inPieces, type Sound } from './sound.js';

/**
 * The sum of two sounds, as long as the first; the second is silent after its end.
 *
 * @throws {RangeError} Their sample rates differ.
 */
export function mix(first: Sound, second: Sound): Sound {
  if (first.sampleRateHz !== second.sampleRateHz) {
    throw new RangeError(`cannot mix ${first.sampleRateHz} Hz with ${second.sampleRateHz} Hz`);
  }
  return {
    sampleRateHz: first.sampleRateHz,
    length: first.length,
    *blocks() {
      const others = second.blocks()[Symbol.iterator]();
      let other: Float64Array = new Float64Array(0);
      let used = 0;
      for (const block of inPieces(first.blocks())) {
        const sum = block.slice();
        for (let i = 0; i < sum.length;) {
          if (used === other.length) {
            const next = others.next();
            if (next.done === true) break;
            other = next.value;
            used = 0;
          }
          const count = Math.min(sum.length - i, other.length - used);
          for (let k = 0; k < count; k++) sum[i + k]! += other[used + k]!;
          i += count;
          used += count;
        }
        yield sum;
      }
    },
  };
}
