/**
 * A study file, ready for kits: its scans as sounds, its recorded cues.
 *
 * @module
 */
import path from 'node:path';
import type { CueClips } from '../kit/audio/cue-clips.js';
import type { KitStudy } from '../kit/kit-inputs.js';
import type { Memory } from '../kit/audio/sound-memory.js';
import type { StudyFile } from '../protocol/study-file.js';
import { kitStudyOf } from './kit-study.js';
import { loadCues } from './load-cues.js';
import { loadStudy } from './load-study.js';

export interface LoadedKitStudy {
  readonly file: StudyFile;
  readonly study: KitStudy;
  /** What is not in the sound, as sentences for staff. */
  readonly warnings: readonly string[];
}

/**
 * @param memory - Where what is made of its sounds is kept from run to run; undefined for nowhere.
 * @throws {UserError} The study, a file that it names, or a recorded cue cannot be used.
 */
export async function loadKitStudy(
  studyFile: string,
  memory: Memory | undefined,
): Promise<LoadedKitStudy> {
  const loaded = await loadStudy(studyFile);
  const { file, warnings } = loaded;
  const study = { ...kitStudyOf(loaded, memory), cues: await cuesOf(file, studyFile) };
  return { file, study, warnings };
}

/** The study's recorded cues, in the kit's language; undefined for chimes. */
async function cuesOf(file: StudyFile, studyFile: string): Promise<CueClips | undefined> {
  const { cues, scans, plan, study, where } = file;
  if (cues === undefined) return undefined;
  return loadCues({
    studyFolder: path.dirname(studyFile),
    folder: cues.folder,
    language: study.language,
    scans: scans.map(({ name }) => name).filter(name => !plan.leaveOut?.includes(name)),
    where: where(['cues', 'folder']),
  });
}
