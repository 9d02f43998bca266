/**
 * A loaded study as its kits need it.
 *
 * @module
 */
import { PRE_SCAN_S } from '../gradients/pre-scan.js';
import { timelineDurationS } from '../gradients/timeline.js';
import type { KitStudy } from '../kit/kit-inputs.js';
import { protocolText } from '../kit/protocol-text.js';
import { fitSound } from '../signal/shape-sound.js';
import type { Sound } from '../signal/sound.js';
import { sha256 } from './kit-folder.js';
import type { LoadedStudy } from './load-study.js';

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
    scans: scans.map(({ scan, played }) => ({
      name: scan.name,
      plainName: scan.plainName,
      durationS: timelineDurationS(played.timeline),
    })),
    plan: file.plan,
    where: file.where,
    sound: (scanName, durationS) =>
      study.scanSound(scanName, { durationS, perspective: 'protected' }),
    background: durationS => withoutPreScan(study, durationS),
  };
}

/** A pause ends with the clicks of pre-scan: one that is longer by them, without its end. */
function withoutPreScan(study: LoadedStudy, durationS: number): Sound {
  const pause = study.pauseSound({
    durationS: durationS + PRE_SCAN_S,
    perspective: 'protected',
  });
  return fitSound(pause, Math.round(durationS * pause.sampleRateHz));
}
