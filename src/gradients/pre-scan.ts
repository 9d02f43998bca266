/**
 * Pre-scan: what a scanner plays before a scan while it finds frequency, shim and power. Separate
 * clicks, then a few short buzzes, between silences.
 *
 * Its timing is in no protocol; this is a plausible one (common practice, no source).
 *
 * @module
 */
import { numberField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { geometryOf } from './geometry.js';
import { normalLimits } from './hardware.js';
import { lobeWithin, shortestLobe } from './lobes.js';
import type { PlayedScan, Segment, Timeline } from './timeline.js';

/** Clicks: how many, and how far apart in s. */
const CLICKS = { count: 6, everyS: 0.55 };

/** Buzzes: how many, how far apart, how long, and their rate in Hz. */
const BUZZES = { count: 3, everyS: 1.1, lengthS: 0.35, hertz: 90 };

/** Area of a click's lobe and of one lobe of a buzz, in mT/m s, and the latter's length in s. */
const CLICK_AREA = 0.02;
const BUZZ_AREA = 0.012;
const BUZZ_LOBE_S = 0.003;

/** Length of the pre-scan in s. */
export const PRE_SCAN_S = CLICKS.count * CLICKS.everyS + BUZZES.count * BUZZES.everyS;

/** A pre-scan as long as its scan says: the pattern over and over, then silence. */
export function playPreScan(scan: Scan, scanner: Scanner): PlayedScan {
  const durationS = numberField(scan, 'Duration');
  const [pattern] = preScan(scanner).segments;
  const repeats = Math.floor(durationS / PRE_SCAN_S + 1e-9);
  const restS = durationS - repeats * PRE_SCAN_S;
  const segments: readonly Segment[] = [
    ...(repeats > 0 ? [{ ...pattern!, repeats }] : []),
    ...(restS > 1e-6 ? [{ durationS: restS, repeats: 1, layers: [] }] : []),
  ];
  return {
    timeline: { segments },
    tones: [
      {
        hertz: BUZZES.hertz / 2,
        cause: `buzzes, ${BUZZES.hertz} lobes a second of alternating polarity`,
      },
    ],
    rhythm: [{ hertz: 1 / CLICKS.everyS, cause: `clicks, ${CLICKS.everyS * 1e3} ms apart` }],
  };
}

/** One pre-scan, `PRE_SCAN_S` long. */
export function preScan(scanner: Scanner): Timeline {
  const limits = normalLimits(scanner);
  const builder = new BlockBuilder();
  const click = shortestLobe(CLICK_AREA, limits);
  for (let i = 0; i < CLICKS.count; i++) {
    const startS = 0.1 + i * CLICKS.everyS;
    const endS = builder.add('slice', click, startS);
    builder.add('read', click, endS + 0.004, -1);
  }
  const lobe = lobeWithin(BUZZ_AREA, BUZZ_LOBE_S, limits) ?? click;
  for (let i = 0; i < BUZZES.count; i++) {
    const startS = CLICKS.count * CLICKS.everyS + 0.2 + i * BUZZES.everyS;
    for (let k = 0; k < BUZZES.lengthS * BUZZES.hertz; k++) {
      builder.add('read', lobe, startS + k / BUZZES.hertz, k % 2 === 0 ? 1 : -1);
    }
  }
  const layers = [{ block: builder.build(geometryOf('x', 'y', 'z')), gain: 1 }];
  return { segments: [{ durationS: PRE_SCAN_S, repeats: 1, layers }] };
}
