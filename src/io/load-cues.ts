/**
 * The recorded cues that a study names: a folder with one folder a language, and in it one clip a
 * scan and one for the end.
 *
 * @module
 */
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { type Problem, UserError } from '../errors.js';
import { collectAudio } from '../formats/audio-stream.js';
import {
  clipProblems,
  clipSound,
  MAX_RECORDING_SECONDS,
  type Recording,
} from '../kit/audio/cue-clip.js';
import { type CueClip, type CueClips, matchClips } from '../kit/audio/cue-clips.js';
import { END_CUE } from '../protocol/study-file.js';
import { sha256 } from './kit-folder.js';
import { readAudio } from './read-audio.js';

export interface WantedCues {
  /** Folder of the study file. */
  readonly studyFolder: string;
  /** As in the study file. */
  readonly folder: string;
  readonly language: string;
  /** Names of the scans that are played. */
  readonly scans: readonly string[];
  /** Place of the folder's name, for messages. */
  readonly where: string;
}

/**
 * Reads and checks the clips of one language.
 *
 * @throws {UserError} `BAD_STUDY` with everything that is wrong with any of them.
 */
export async function loadCues(wanted: WantedCues): Promise<CueClips> {
  const name = path.posix.join(wanted.folder.replaceAll('\\', '/'), wanted.language);
  const folder = path.resolve(wanted.studyFolder, wanted.folder, wanted.language);
  const files = await readdir(folder).catch((error: unknown) => {
    throw noFolder(name, wanted, (error as NodeJS.ErrnoException).code ?? String(error));
  });
  const { clips, problems } = matchClips(files.sort(), wanted.scans, name);
  const all: Problem[] = [...problems];
  const loaded = new Map<string, CueClip>();
  for (const [scan, file] of clips) {
    const result = await loadClip(path.join(folder, file), `${name}/${file}`);
    if ('problems' in result) all.push(...result.problems);
    else loaded.set(scan, result);
  }
  if (all.length > 0) {
    const count = all.length === 1 ? 'one problem' : `${all.length} problems`;
    throw new UserError('BAD_STUDY', `The cues in ${name} have ${count}.`, all);
  }
  return loaded;
}

async function loadClip(
  place: string,
  file: string,
): Promise<CueClip | { readonly problems: readonly Problem[] }> {
  let recording: Recording;
  try {
    const { sampleRateHz, channels, tooLong } = await readRecording(place);
    if (tooLong) {
      return {
        problems: [
          {
            where: file,
            found: `more than ${MAX_RECORDING_SECONDS} s`,
            allowed: 'a clip of a few seconds',
            fix: 'Cut it to what announces this scan.',
          },
        ],
      };
    }
    recording = { file, sampleRateHz, channels };
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return { problems: error.problems.map(problem => ({ ...problem, where: file })) };
  }
  const problems = clipProblems(recording);
  if (problems.length > 0) return { problems };
  return { sound: clipSound(recording), sha256: sha256(await readFile(place)) };
}

/** The first samples of a clip: as many as one can have, and a few more when it is longer. */
async function readRecording(place: string) {
  const audio = await readAudio(place);
  const most = MAX_RECORDING_SECONDS * audio.sampleRateHz;
  async function* start() {
    let length = 0;
    for await (const block of audio.blocks()) {
      yield block;
      length += block[0]!.length;
      if (length > most) return;
    }
  }
  const channels = await collectAudio({ ...audio, blocks: start });
  return { sampleRateHz: audio.sampleRateHz, channels, tooLong: channels[0]!.length > most };
}

const noFolder = (name: string, { scans, where }: WantedCues, found: string): UserError =>
  new UserError('BAD_STUDY', 'The study names recorded cues that are not there.', [
    {
      where,
      found: found === 'ENOENT' ? `no folder ${name}` : `${name}: ${found}`,
      allowed: `a folder for the kit's language with a clip for each scan: ${[...scans, END_CUE].map(scan => `${scan}.wav`).join(', ')}`,
      fix: 'Make the folder, correct its name, or take cues out of the study file, for chimes instead.',
    },
  ]);
