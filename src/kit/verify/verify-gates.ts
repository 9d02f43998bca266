/**
 * The gates of a kit's audio, on what was measured from its decoded files.
 *
 * @module
 */
import { type OffsetLimits, TRUE_PEAK_GATE_DBTP } from '../../levels/limits.js';
import { aboveFadeDb, FASTEST_RISE_DB, largestRiseDb } from '../../levels/rise-gate.js';
import { SHORT_STEP_SECONDS } from '../../levels/short-levels.js';
import { SHORTEST_ONSET_SECONDS } from '../../protocol/plan-ranges.js';
import { meanSquareToDbfs } from '../../signal/decibels.js';
import { type Findings, GATE_TOLERANCE_DB } from './findings.js';
import type { ManifestStep } from '../manifest/manifest.js';
import type { MeasuredFile } from './verify-audio.js';

/** Levels of a file that gates hold, those with "offset" re the voice reference's LAeq. */
export interface GatedLevels {
  readonly truePeakDbtp: number;
  readonly lafmaxOffsetDb: number;
  readonly lcpeakOffsetDb: number;
  /** Largest rise of the level over 10 ms within 50 ms, in a quiet room. */
  readonly largestRiseDb: number;
}

/**
 * Finds what of a whole file passes a gate.
 *
 * @param voiceDbfs - LAeq of the voice reference.
 * @param voiceDba - The same at the listener's place, as expected.
 */
export function checkGates(
  file: string,
  measured: MeasuredFile,
  voiceDbfs: number,
  limits: OffsetLimits,
  findings: Findings,
  voiceDba: number,
): GatedLevels {
  const { truePeakDbtp } = measured;
  if (measured.channelsDiffer) {
    findings.refuse(file, 'another sound left than right', 'the same in all channels');
  }
  const gated = {
    truePeakDbtp,
    lafmaxOffsetDb: measured.lafmaxDbfs - voiceDbfs,
    lcpeakOffsetDb: measured.lcpeakDbfs - voiceDbfs,
    largestRiseDb: largestRiseDb(levelsAtPlace(measured, voiceDbfs, voiceDba)),
  };
  findings.limit(file, 'LAFmax', gated.lafmaxOffsetDb, limits.lafmaxDb);
  findings.limit(file, 'LCpeak', gated.lcpeakOffsetDb, limits.lcpeakDb);
  if (truePeakDbtp > TRUE_PEAK_GATE_DBTP + GATE_TOLERANCE_DB) {
    const found = `a true peak of ${truePeakDbtp.toFixed(1)} dBTP`;
    findings.refuse(file, found, `at most ${TRUE_PEAK_GATE_DBTP} dBTP`);
  }
  if (gated.largestRiseDb > FASTEST_RISE_DB + GATE_TOLERANCE_DB) {
    const found = `a rise of ${gated.largestRiseDb.toFixed(1)} dB within 50 ms`;
    findings.refuse(file, found, `at most ${FASTEST_RISE_DB} dB, in a quiet room`);
  }
  return gated;
}

/** Finds sounds of a step that start faster than their fade may let them. */
export function checkStarts(
  { file, onsetSeconds, sounds }: ManifestStep,
  measured: MeasuredFile,
  voiceDbfs: number,
  findings: Findings,
  voiceDba: number,
): void {
  if (onsetSeconds < SHORTEST_ONSET_SECONDS) {
    findings.refuse(file, `fades of ${onsetSeconds} s`, `at least ${SHORTEST_ONSET_SECONDS} s`);
  }
  const levelsDba = levelsAtPlace(measured, voiceDbfs, voiceDba);
  for (const { scan, startSeconds, endSeconds } of sounds) {
    const [from, to] = [startSeconds, endSeconds].map(s => Math.round(s / SHORT_STEP_SECONDS));
    const aboveDb = aboveFadeDb(levelsDba.subarray(from, to), onsetSeconds);
    if (aboveDb <= GATE_TOLERANCE_DB) continue;
    const found = `a start up to ${aboveDb.toFixed(1)} dB louder than its fade may let through`;
    findings.refuse(`${file} ${scan}`, found, `a fade over ${onsetSeconds} s`);
  }
}

/** Short levels where the voice reference is as loud as expected. */
const levelsAtPlace = (
  { shortMeanSquares }: MeasuredFile,
  voiceDbfs: number,
  voiceDba: number,
): Float64Array =>
  shortMeanSquares.map(meanSquare => meanSquareToDbfs(meanSquare) - voiceDbfs + voiceDba);
