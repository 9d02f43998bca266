/**
 * Whether a kit's plan is the one that its history leads to.
 *
 * @module
 */
import { UserError } from '../../errors.js';
import type { Manifest } from '../manifest/manifest.js';
import { replayedVersion } from '../revise-kit.js';

/** What is wrong; null when all is well. */
export function historyProblem(manifest: Manifest): string | null {
  const last = manifest.history.at(-1);
  if (last === undefined) return 'no plan';
  if (manifest.version !== last.version) {
    return `plan ${manifest.version}, while the history ends with plan ${last.version}`;
  }
  if (JSON.stringify(manifest.sessions) !== JSON.stringify(last.sessions)) {
    return 'sessions that are not those of the last plan';
  }
  try {
    const replayed = replayedVersion(manifest);
    if (replayed === null || JSON.stringify(replayed) === JSON.stringify(last)) return null;
  } catch (error) {
    if (!(error instanceof UserError || error instanceof RangeError)) throw error;
  }
  return `plan ${last.version}, to which the log does not lead`;
}
