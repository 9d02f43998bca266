/**
 * What a whole visit holds beside its scans: the ride of the table, pre-scan, pauses.
 *
 * @module
 */
import { PRE_SCAN_SECONDS } from '../gradients/pre-scan.js';
import type { PlanConstants } from '../protocol/plan-constants.js';
import type { InterludeKind, PlannedInterlude } from './plan.js';

/** An interlude as the protocol has it. */
export interface ProtocolInterlude {
  readonly kind: InterludeKind;
  /** How long it takes on the day, in s. */
  readonly durationSeconds: number;
  /** Name of the scan that follows it; null after the last. */
  readonly beforeScan: string | null;
}

/** A ride of the table where the protocol names none, in s; common practice, no source. */
const TABLE_SECONDS = 8;

/**
 * Interludes of a visit.
 *
 * What the protocol names of a kind is taken as it is; of a kind that it does not name there is what
 * is usual: the table at both ends, a pause and a pre-scan before each scan.
 *
 * @param scans - Names of all scans, in the order of the day.
 * @param heard - Those of the step, in the same order.
 */
export function visitInterludes(
  scans: readonly string[],
  heard: readonly string[],
  protocol: readonly ProtocolInterlude[],
  constants: Pick<PlanConstants, 'layout' | 'longestPauseSeconds'>,
): readonly PlannedInterlude[] {
  const { layout, longestPauseSeconds } = constants;
  const names = (kind: InterludeKind): boolean => protocol.some(other => other.kind === kind);
  const interludes: PlannedInterlude[] = [];
  const add = (kind: InterludeKind, durationSeconds: number, before: number): void => {
    interludes.push({ kind, durationSeconds, before });
  };
  for (let before = 0; before <= heard.length; before++) {
    const next = heard[before] ?? null;
    const atEnd = next === null;
    if (!names('table-motion') && before === 0) add('table-motion', TABLE_SECONDS, before);
    for (const { kind, durationSeconds, beforeScan } of protocol) {
      const pauseSeconds =
        kind === 'pause' ? Math.min(durationSeconds, longestPauseSeconds) : durationSeconds;
      // The table moves whether or not the scan after it is heard.
      const place = kind === 'table-motion' ? nextHeard(scans, heard, beforeScan) : beforeScan;
      if (place === next) add(kind, pauseSeconds, before);
    }
    if (!atEnd && !names('pause') && before > 0) {
      add('pause', layout.protocolPauseSeconds, before);
    }
    if (!atEnd && !names('pre-scan')) add('pre-scan', PRE_SCAN_SECONDS, before);
    if (!names('table-motion') && atEnd) add('table-motion', TABLE_SECONDS, before);
  }
  return interludes;
}

/** A pause has no sound of its own. */
export const isSounding = ({ kind }: Pick<PlannedInterlude, 'kind'>): boolean => kind !== 'pause';

/** As many as make no more than so much sound: pre-scans go first, from the last on, then the table. */
export function withinSeconds(
  interludes: readonly PlannedInterlude[],
  seconds: number,
): readonly PlannedInterlude[] {
  let kept = interludes;
  for (const kind of ['pre-scan', 'table-motion'] as const) {
    while (secondsOf(kept) > seconds) {
      const last = kept.findLastIndex(interlude => interlude.kind === kind);
      if (last === -1) break;
      kept = kept.filter((_, index) => index !== last);
    }
  }
  return kept;
}

const secondsOf = (interludes: readonly PlannedInterlude[]): number =>
  interludes.filter(isSounding).reduce((sum, { durationSeconds }) => sum + durationSeconds, 0);

/** The scan itself when it is heard, else the next one that is; null for none. */
function nextHeard(
  scans: readonly string[],
  heard: readonly string[],
  scan: string | null,
): string | null {
  if (scan === null) return null;
  return scans.slice(scans.indexOf(scan)).find(name => heard.includes(name)) ?? null;
}
