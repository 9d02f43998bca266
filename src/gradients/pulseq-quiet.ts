/**
 * Where a stretch of gradients can be cut with least to be joined again.
 *
 * @module
 */
import { AXES, type GradientBlock } from './timeline.js';

/**
 * The middle of the longest time in a stretch during which no gradient is on; where there is none, of
 * the longest during which none changes.
 *
 * @param lengthS - Length of the stretch.
 * @param enoughS - Shorter times do not count.
 * @returns s from the start of the stretch; undefined when a gradient changes all the time.
 */
export function quietMiddleS(
  stretch: GradientBlock,
  lengthS: number,
  enoughS: number,
): number | undefined {
  return longest(stretch, lengthS, enoughS, true) ?? longest(stretch, lengthS, enoughS, false);
}

function longest(
  stretch: GradientBlock,
  lengthS: number,
  enoughS: number,
  off: boolean,
): number | undefined {
  // Loud times of all axes in one list, in order; what no one of them covers is quiet.
  const loud = AXES.flatMap(axis => loudTimes(stretch[axis], off)).sort(([a], [b]) => a - b);
  let quietS = 0;
  let best = enoughS;
  let middleS: number | undefined;
  for (const [fromS, toS] of [...loud, [lengthS, lengthS] as const]) {
    if (fromS - quietS > best) {
      best = fromS - quietS;
      middleS = (quietS + fromS) / 2;
    }
    quietS = Math.max(quietS, toS);
  }
  return middleS;
}

/** Times in which a waveform changes, or (with `off`) in which it is not zero; those that meet are one. */
function loudTimes(
  waveform: GradientBlock['x'],
  off: boolean,
): (readonly [fromS: number, toS: number])[] {
  if (waveform === undefined) return [];
  const { timesS, amplitudes } = waveform;
  const times: (readonly [number, number])[] = [];
  let loudS: number | undefined;
  for (let i = 1; i < timesS.length; i++) {
    const quiet = amplitudes[i] === amplitudes[i - 1] && !(off && amplitudes[i] !== 0);
    if (!quiet) loudS ??= timesS[i - 1]!;
    else if (loudS !== undefined) {
      times.push([loudS, timesS[i - 1]!]);
      loudS = undefined;
    }
  }
  if (loudS !== undefined) times.push([loudS, timesS.at(-1)!]);
  return times;
}
