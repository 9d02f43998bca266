/**
 * Numbers as people read them.
 *
 * @module
 */

import type { Manifest } from '../kit/manifest/manifest.js';
import { DEFAULT_CEILING_DBA } from '../protocol/plan-settings.js';

/** A length of time: `0:15`, `4:50`, `1:02:03`. */
export function formatClock(seconds: number): string {
  const whole = Math.round(seconds);
  const two = (part: number): string => String(part).padStart(2, '0');
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours > 0
    ? `${hours}:${two(minutes)}:${two(whole % 60)}`
    : `${minutes}:${two(whole % 60)}`;
}

/** A frequency with three or four digits: `0.43 Hz`, `11.1 Hz`, `893 Hz`, `2679 Hz`. */
export function formatHertz(hertz: number): string {
  const digits = hertz < 10 ? 2 : hertz < 100 ? 1 : 0;
  return `${hertz.toFixed(digits)} Hz`;
}

/** A kit's ceiling; who raised it stands wherever it does. */
export const formatCeiling = ({ laeqDba, raisedBy }: Manifest['ceiling']): string =>
  raisedBy === null
    ? `Ceiling: ${laeqDba} dBA.`
    : `Ceiling: ${laeqDba} dBA, RAISED above the default of ${DEFAULT_CEILING_DBA} dBA by
${raisedBy.name} on ${raisedBy.date} (${raisedBy.reason}).`;

/** A level without decimals; silence is a word. */
export const formatLevel = (level: number): string =>
  level === -Infinity ? 'silent' : level.toFixed(0);

/** A range of levels: `98 (90-106)`. */
export const formatRange = ({
  low,
  expected,
  high,
}: {
  readonly low: number;
  readonly expected: number;
  readonly high: number;
}): string => `${formatLevel(expected)} (${formatLevel(low)}-${formatLevel(high)})`;
