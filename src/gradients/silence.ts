/**
 * Parts of a scan day in which no gradient plays: a pause, and the ride of the table.
 *
 * @module
 */
import { numberField, type Scan } from '../protocol/scan.js';
import type { PlayedScan } from './timeline.js';

/** A pause: the scanner's background is all that is heard. */
export const playPause = (scan: Scan): PlayedScan => ({
  timeline: {
    segments: [{ durationSeconds: numberField(scan, 'Duration'), repeats: 1, layers: [] }],
  },
  tones: [],
  rhythm: [],
});

/** The ride of the table into the bore: its motor is heard, and a clunk when it stops. */
export const playTableMotion = (scan: Scan): PlayedScan => ({
  ...playPause(scan),
  source: 'table-motion',
});
