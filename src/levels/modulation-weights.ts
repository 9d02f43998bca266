/**
 * The tables of roughness: which speed of modulation is rough in which critical band, and how much a
 * band counts.
 *
 * Source: P. Daniel and R. Weber, "Psychoacoustical roughness: implementation of an optimized model",
 * Acustica 83, 1997, 113-123: the weights H2, H5, H16, H21 and H42 of modulation frequency (figure 2)
 * and the weight g of the critical-band rate (after W. Aures, 1985). The break-points were read in
 * public transcriptions of the paper's figures.
 *
 * @module
 */

/** Channels of the model, half a Bark apart: the first at 0.5 Bark, the last at 23.5. */
export const ROUGHNESS_CHANNELS = 47;

type Points = readonly (readonly [x: number, y: number])[];

/** Weight over modulation frequency in Hz, and the last channel, counted from 1, that it is for. */
const MODULATION_WEIGHTS: readonly { readonly upToChannel: number; readonly points: Points }[] = [
  {
    upToChannel: 4,
    points: [
      [0, 0],
      [17, 0.8],
      [23, 0.95],
      [25, 0.975],
      [32, 1],
      [37, 0.975],
      [48, 0.9],
      [67, 0.8],
      [90, 0.7],
      [114, 0.6],
      [171, 0.4],
      [206, 0.3],
      [247, 0.2],
      [294, 0.1],
      [358, 0],
    ],
  },
  {
    upToChannel: 15,
    points: [
      [0, 0],
      [32, 0.8],
      [43, 0.95],
      [56, 1],
      [69, 0.975],
      [92, 0.9],
      [120, 0.8],
      [142, 0.7],
      [165, 0.6],
      [231, 0.4],
      [277, 0.3],
      [331, 0.2],
      [397, 0.1],
      [502, 0],
    ],
  },
  {
    upToChannel: 20,
    points: [
      [0, 0],
      [23.5, 0.4],
      [34, 0.6],
      [47, 0.8],
      [56, 0.9],
      [63, 0.95],
      [79, 1],
      [100, 0.975],
      [115, 0.95],
      [135, 0.9],
      [159, 0.85],
      [172, 0.8],
      [194, 0.7],
      [215, 0.6],
      [244, 0.5],
      [290, 0.4],
      [348, 0.3],
      [415, 0.2],
      [500, 0.1],
      [645, 0],
    ],
  },
  {
    upToChannel: 41,
    points: [
      [0, 0],
      [19, 0.4],
      [44, 0.8],
      [52.5, 0.9],
      [58, 0.95],
      [75, 1],
      [101.5, 0.95],
      [114.5, 0.9],
      [132.5, 0.85],
      [143.5, 0.8],
      [165.5, 0.7],
      [197.5, 0.6],
      [241, 0.5],
      [290, 0.4],
      [348, 0.3],
      [415, 0.2],
      [500, 0.1],
      [645, 0],
    ],
  },
  {
    upToChannel: ROUGHNESS_CHANNELS,
    points: [
      [0, 0],
      [15, 0.4],
      [41, 0.8],
      [49, 0.9],
      [53, 0.965],
      [64, 0.99],
      [71, 1],
      [88, 0.95],
      [94, 0.9],
      [106, 0.85],
      [115, 0.8],
      [137, 0.7],
      [180, 0.6],
      [238, 0.5],
      [290, 0.4],
      [348, 0.3],
      [415, 0.2],
      [500, 0.1],
      [645, 0],
    ],
  },
];

/** g: weight of the specific roughness at 0, 1, ... 24 Bark. */
const BARK_WEIGHTS = [
  0.15, 0.26, 0.38, 0.47, 0.54, 0.65, 0.76, 0.83, 0.9, 0.98, 0.98, 0.9, 0.8, 0.7, 0.62, 0.54, 0.49,
  0.43, 0.39, 0.35, 0.3, 0.3, 0.3, 0.3, 0.3,
] as const;

/** Modulations from here on have no weight in any channel, in Hz. */
export const MODULATION_END_HZ = 645;

/**
 * Weight of a speed of modulation in a channel, 0 to 1.
 *
 * @param channel - From 1 to 47; its middle is at half as many Bark.
 */
export function modulationWeight(channel: number, modulationHz: number): number {
  const { points } = MODULATION_WEIGHTS.find(({ upToChannel }) => channel <= upToChannel)!;
  return interpolate(points, modulationHz);
}

/** Weight of a channel's roughness. @param channel - From 1 to 47. */
export const channelWeight = (channel: number): number =>
  interpolate(
    BARK_WEIGHTS.map((weight, bark) => [bark, weight]),
    channel / 2,
  );

/** On straight lines between points; beyond the last it stays. */
function interpolate(points: Points, x: number): number {
  const next = points.findIndex(([at]) => at >= x);
  if (next === -1) return points.at(-1)![1];
  const [x2, y2] = points[next]!;
  const [x1, y1] = points[Math.max(0, next - 1)]!;
  return x2 === x1 ? y2 : y1 + ((y2 - y1) * (x - x1)) / (x2 - x1);
}
