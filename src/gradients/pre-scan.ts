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
const CLICKS = { count: 6, everySeconds: 0.55 };

/** Buzzes: how many, how far apart, how long, and their rate in Hz. */
const BUZZES = { count: 3, everySeconds: 1.1, lengthSeconds: 0.35, hertz: 90 };

/** Area of a click's lobe and of one lobe of a buzz, in mT/m s, and the latter's length in s. */
const CLICK_AREA = 0.02;
const BUZZ_AREA = 0.012;
const BUZZ_LOBE_SECONDS = 0.003;

/** Length of the pre-scan in s. */
export const PRE_SCAN_SECONDS =
  CLICKS.count * CLICKS.everySeconds + BUZZES.count * BUZZES.everySeconds;

/** A pre-scan as long as its scan says: the pattern over and over, then silence. */
export function playPreScan(scan: Scan, scanner: Scanner): PlayedScan {
  const durationSeconds = numberField(scan, 'Duration');
  const [pattern] = preScan(scanner).segments;
  const repeats = Math.floor(durationSeconds / PRE_SCAN_SECONDS + 1e-9);
  const restSeconds = durationSeconds - repeats * PRE_SCAN_SECONDS;
  const segments: readonly Segment[] = [
    ...(repeats > 0 ? [{ ...pattern!, repeats }] : []),
    ...(restSeconds > 1e-6 ? [{ durationSeconds: restSeconds, repeats: 1, layers: [] }] : []),
  ];
  return {
    timeline: { segments },
    tones: [
      {
        hertz: BUZZES.hertz / 2,
        cause: `buzzes, ${BUZZES.hertz} lobes a second of alternating polarity`,
      },
    ],
    rhythm: [
      { hertz: 1 / CLICKS.everySeconds, cause: `clicks, ${CLICKS.everySeconds * 1e3} ms apart` },
    ],
  };
}

/** One pre-scan, `PRE_SCAN_SECONDS` long. */
export function preScan(scanner: Scanner): Timeline {
  const limits = normalLimits(scanner);
  const builder = new BlockBuilder();
  const click = shortestLobe(CLICK_AREA, limits);
  for (let i = 0; i < CLICKS.count; i++) {
    const startSeconds = 0.1 + i * CLICKS.everySeconds;
    const endSeconds = builder.add('slice', click, startSeconds);
    builder.add('read', click, endSeconds + 0.004, -1);
  }
  const lobe = lobeWithin(BUZZ_AREA, BUZZ_LOBE_SECONDS, limits) ?? click;
  for (let i = 0; i < BUZZES.count; i++) {
    const startSeconds = CLICKS.count * CLICKS.everySeconds + 0.2 + i * BUZZES.everySeconds;
    for (let k = 0; k < BUZZES.lengthSeconds * BUZZES.hertz; k++) {
      builder.add('read', lobe, startSeconds + k / BUZZES.hertz, k % 2 === 0 ? 1 : -1);
    }
  }
  const layers = [{ block: builder.build(geometryOf('x', 'y', 'z')), gain: 1 }];
  return { segments: [{ durationSeconds: PRE_SCAN_SECONDS, repeats: 1, layers }] };
}
