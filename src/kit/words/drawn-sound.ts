/**
 * The pictures of sounds as page and guide draw them: a row of bars, as high as the sound is loud, for
 * how it comes and goes; and hills from low to high pitch, with a moon over the highest. The same
 * outlines for both; and words for the bars.
 *
 * Both read from left to right in every language, as time and a piano do.
 *
 * @module
 */
import type { SoundPicture } from '../audio/sound-picture.js';
import type { Texts } from './texts.js';

/** Size of the bars' drawing, and of the hills', in its own units. */
export const BARS = { width: 120, height: 24, line: 1.9 } as const;
export const HILLS = { width: 45, height: 24, moon: 2.4 } as const;

/** A bar is never lower than a dot, so that silence is seen too. */
const LOWEST_BAR = 0.04;

/** Hills end below the moon's room. */
const HIGHEST_HILL = HILLS.height - 2 * HILLS.moon - 2;

export interface DrawnSound {
  /** Lines of SVG path data (SVG 1.1, 8.3) in {@link BARS}, to be stroked with round ends. */
  readonly bars: string;
  /** An area of path data in {@link HILLS}, to be filled. */
  readonly hills: string;
  /** Centre of the moon in {@link HILLS}. */
  readonly moon: { readonly x: number; readonly y: number };
}

export function drawnSound({ shape, spectrum }: SoundPicture): DrawnSound {
  const place = BARS.width / shape.length;
  const bars = shape.map((height, index) => {
    const half = (Math.max(LOWEST_BAR, height) * (BARS.height - BARS.line)) / 2;
    return `M${round((index + 0.5) * place)} ${round(BARS.height / 2 - half)}v${round(2 * half)}`;
  });
  const step = HILLS.width / (spectrum.length - 1);
  const tops = spectrum.map((height, index) => ({
    x: round(index * step),
    y: round(HILLS.height - height * HIGHEST_HILL),
  }));
  // Each band bends the line; it runs through the middle between two bands.
  const slopes = tops.slice(1).map(({ x, y }, index) => {
    const { x: beforeX, y: beforeY } = tops[index]!;
    return `Q${beforeX} ${beforeY} ${round((beforeX + x) / 2)} ${round((beforeY + y) / 2)}`;
  });
  const highest = tops.reduce((a, b) => (b.y < a.y ? b : a));
  const last = tops.at(-1)!;
  return {
    bars: bars.join(''),
    hills: `M0 ${HILLS.height}V${tops[0]!.y}${slopes.join('')}L${last.x} ${last.y}V${HILLS.height}z`,
    moon: {
      x: Math.max(HILLS.moon, Math.min(HILLS.width - HILLS.moon, highest.x)),
      y: round(highest.y - HILLS.moon - 1),
    },
  };
}

/** Below this, a place counts as a pause: 20 dB under the loudest. */
const PAUSE_HEIGHT = 0.25;

/** More pauses than this, and the sound is one with pauses. */
const PAUSE_SHARE = 0.08;

/** Heights that differ by less, from the lowest tenth to the highest, are steady. */
const STEADY_RANGE = 0.25;

/** How a sound comes and goes, in words. */
export function soundInWords({ shape }: SoundPicture, { words: { looks } }: Texts): string {
  const sorted = shape.toSorted((a, b) => a - b);
  const range = sorted.at(-1)! - sorted[Math.floor(sorted.length / 10)]!;
  const pauses = shape.filter(height => height < PAUSE_HEIGHT).length / shape.length;
  if (pauses > PAUSE_SHARE) return looks.pauses;
  return range < STEADY_RANGE ? looks.steady : looks.waves;
}

const round = (value: number): number => Math.round(value * 10) / 10;
