/**
 * Whether what a manifest states of safety follows from what it lists: levels at the listener's place,
 * doses, the listener. A family, and a board, read these numbers.
 *
 * @module
 */
import type { LevelRange } from '../../levels/scan-levels.js';
import type { Findings } from './findings.js';
import { withLongestCue } from '../audio/heard-parts.js';
import type { Manifest } from '../manifest/manifest.js';
import { estimatedLevels, withDoses } from '../manifest/manifest-step.js';
import { listenerOf } from '../plan-kit.js';
import { withSessions } from '../manifest/playback.js';

/** @param voiceDba - Level of the voice reference that the manifest may assume. */
export function checkStatements(
  manifest: Manifest,
  voiceDba: LevelRange,
  findings: Findings,
): void {
  const { steps, sessions, voiceReference, playback, plan, cues } = manifest;
  const listener = listenerOf(manifest);
  const check = (where: string, found: unknown, expected: unknown): void => {
    if (JSON.stringify(found) === JSON.stringify(expected)) return;
    findings.report(`kit.json ${where}`, shown(found), shown(expected));
  };
  check('listener', manifest.listener, listener);
  check('voiceReference.assumedDba', voiceReference.assumedDba, voiceDba);
  // Sessions of steps that are not there have no dose; they are found elsewhere.
  const numbers = new Set(steps.map(({ number }) => number));
  if (sessions.some(({ step }) => !numbers.has(step))) return;
  for (const [i, dosed] of withDoses(steps, sessions, listener, voiceDba).entries()) {
    const step = steps[i]!;
    const where = (key: string): string => `steps, number ${step.number}, ${key}`;
    check(where('estimatedLaeqDba'), step.estimatedLaeqDba, estimatedLevels(step.sounds, voiceDba));
    check(where('weeklyDosePercent'), step.weeklyDosePercent, dosed.weeklyDosePercent);
  }
  const layout = withLongestCue(plan.constants.layout, cues);
  const input = { steps, sessions, layout, listener, voiceDba };
  check('playback', playback, withSessions(playback, input));
}

/** JSON that fits into a message. */
function shown(value: unknown): string {
  const text = JSON.stringify(value);
  return text.length <= LONGEST ? text : `${text.slice(0, LONGEST)} ...`;
}

/** In characters. */
const LONGEST = 120;
