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
 * @param lengthSeconds - Length of the stretch.
 * @param enoughSeconds - Shorter times do not count.
 * @returns s from the start of the stretch; undefined when a gradient changes all the time.
 */
export function quietMiddleSeconds(
  stretch: GradientBlock,
  lengthSeconds: number,
  enoughSeconds: number,
): number | undefined {
  return (
    longest(stretch, lengthSeconds, enoughSeconds, true) ??
    longest(stretch, lengthSeconds, enoughSeconds, false)
  );
}

function longest(
  stretch: GradientBlock,
  lengthSeconds: number,
  enoughSeconds: number,
  off: boolean,
): number | undefined {
  // Loud times of all axes in one list, in order; what no one of them covers is quiet.
  const loud = AXES.flatMap(axis => loudTimes(stretch[axis], off)).sort(([a], [b]) => a - b);
  let quietSeconds = 0;
  let best = enoughSeconds;
  let middleSeconds: number | undefined;
  for (const [fromSeconds, toSeconds] of [...loud, [lengthSeconds, lengthSeconds] as const]) {
    if (fromSeconds - quietSeconds > best) {
      best = fromSeconds - quietSeconds;
      middleSeconds = (quietSeconds + fromSeconds) / 2;
    }
    quietSeconds = Math.max(quietSeconds, toSeconds);
  }
  return middleSeconds;
}

/** Times in which a waveform changes, or (with `off`) in which it is not zero; those that meet are one. */
function loudTimes(
  waveform: GradientBlock['x'],
  off: boolean,
): (readonly [fromSeconds: number, toSeconds: number])[] {
  if (waveform === undefined) return [];
  const { timesSeconds, amplitudes } = waveform;
  const times: (readonly [number, number])[] = [];
  let loudSeconds: number | undefined;
  for (let i = 1; i < timesSeconds.length; i++) {
    const quiet = amplitudes[i] === amplitudes[i - 1] && !(off && amplitudes[i] !== 0);
    if (!quiet) loudSeconds ??= timesSeconds[i - 1]!;
    else if (loudSeconds !== undefined) {
      times.push([loudSeconds, timesSeconds[i - 1]!]);
      loudSeconds = undefined;
    }
  }
  if (loudSeconds !== undefined) times.push([loudSeconds, timesSeconds.at(-1)!]);
  return times;
}
