/**
 * A loaded study as its kits need it.
 *
 * @module
 */
import { timelineDurationS } from '../gradients/timeline.js';
import type { KitStudy } from '../kit/kit-inputs.js';
import { protocolText } from '../kit/protocol-text.js';
import type { ProtocolInterlude } from '../plan/interludes.js';
import { INTERLUDE_KINDS, type InterludeKind } from '../plan/plan.js';
import { sha256 } from './kit-folder.js';
import type { LoadedScan, LoadedStudy } from './load-study.js';

export function kitStudyOf(study: LoadedStudy): KitStudy {
  const { file, scans, scanner } = study;
  return {
    name: file.study.name,
    contact: file.study.contact,
    seed: file.study.seed,
    approval: file.approval?.reference ?? null,
    guideNote: file.texts.guideNote,
    protocolHash: sha256(
      protocolText(
        scanner,
        scans.map(({ scan }) => scan),
      ),
    ),
    scans: scans
      .filter(({ scan }) => !isInterlude(scan.type))
      .map(({ scan, played }) => ({
        name: scan.name,
        plainName: scan.plainName,
        durationS: timelineDurationS(played.timeline),
      })),
    interludes: interludesOf(scans),
    plan: file.plan,
    where: file.where,
    sound: (scanName, durationS) =>
      study.scanSound(scanName, { durationS, perspective: 'protected' }),
    background: durationS => study.backgroundSound({ durationS, perspective: 'protected' }),
    interlude: (kind, durationS) => {
      const wanted = { durationS, perspective: 'protected' } as const;
      return kind === 'pre-scan' ? study.preScanSound(wanted) : study.tableSound(wanted);
    },
  };
}

const isInterlude = (type: string): type is InterludeKind =>
  INTERLUDE_KINDS.some(kind => kind === type);

/** Table, pre-scan and pauses of a protocol: nothing to get used to step by step. */
function interludesOf(scans: readonly LoadedScan[]): readonly ProtocolInterlude[] {
  return scans.flatMap(({ scan, played }, i): ProtocolInterlude[] => {
    if (!isInterlude(scan.type)) return [];
    const next = scans.slice(i).find(later => !isInterlude(later.scan.type));
    const durationS = timelineDurationS(played.timeline);
    return [{ kind: scan.type, durationS, beforeScan: next?.scan.name ?? null }];
  });
}
