/**
 * Parts of a scan day that are no images: pre-scan, the ride of the table, pauses.
 *
 * @module
 */
import type { Family } from './family.js';

const EVENT: Family = { fields: ['Duration'], rules: [] };

export const preScan: Family = EVENT;
export const tableMotion: Family = EVENT;
export const pause: Family = EVENT;
