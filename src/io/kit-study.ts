/**
 * A loaded study as its kits need it.
 *
 * @module
 */
import { timelineDurationSeconds } from '../gradients/timeline.js';
import type { KitStudy } from '../kit/kit-inputs.js';
import type { Memory, SoundMemory } from '../kit/audio/sound-memory.js';
import { protocolText } from '../kit/manifest/protocol-text.js';
import type { ProtocolInterlude } from '../plan/interludes.js';
import { INTERLUDE_KINDS, type InterludeKind } from '../plan/plan.js';
import { sha256, sha256Of } from './kit-folder.js';
import type { LoadedScan, LoadedStudy } from './load-study.js';

/** @param memory - Where what is made of its sounds is kept from run to run; undefined for nowhere. */
export function kitStudyOf(study: LoadedStudy, memory?: Memory): KitStudy {
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
        durationSeconds: timelineDurationSeconds(played.timeline),
      })),
    interludes: interludesOf(scans),
    plan: file.plan,
    where: file.where,
    sound: (scanName, durationSeconds) =>
      study.scanSound(scanName, { durationSeconds, perspective: 'protected' }),
    background: durationSeconds =>
      study.backgroundSound({ durationSeconds, perspective: 'protected' }),
    interlude: (kind, durationSeconds) => {
      const wanted = { durationSeconds, perspective: 'protected' } as const;
      return kind === 'pre-scan' ? study.preScanSound(wanted) : study.tableSound(wanted);
    },
    memory: memory && soundMemory(study, memory),
  };
}

/** A memory that tells apart what sounds otherwise. */
function soundMemory(
  { file, scanner, scans, response, protection }: LoadedStudy,
  memory: Memory,
): SoundMemory {
  const responseHash = sha256Of();
  for (const part of response.madeFrom) {
    const bytes =
      typeof part === 'string'
        ? new TextEncoder().encode(part)
        : new Uint8Array(part.buffer, part.byteOffset, part.byteLength);
    // Where one part ends is part of it.
    responseHash.update(new TextEncoder().encode(`${typeof part} ${bytes.length} `));
    responseHash.update(bytes);
  }
  const ofScanner = JSON.stringify([
    protocolText(scanner, []),
    responseHash.digest(),
    protection,
    // The scanner's background is noise.
    file.study.seed,
  ]);
  const byName = new Map(scans.map(({ scan }) => [scan.name, scan]));
  return {
    ...memory,
    ofScanner,
    ofScan: name => {
      // What staff call it is not heard.
      const text = protocolText(scanner, [{ ...byName.get(name)!, name: '' }]);
      return JSON.stringify([ofScanner, text]);
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
    const durationSeconds = timelineDurationSeconds(played.timeline);
    return [{ kind: scan.type, durationSeconds, beforeScan: next?.scan.name ?? null }];
  });
}
