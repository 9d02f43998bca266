/**
 * Recorded cues of a study: which file is whose, and how loud a clip is played.
 *
 * @module
 */
import type { Problem } from '../../errors.js';
import type { Levels } from '../../levels/levels.js';
import type { OffsetLimits } from '../../levels/limits.js';
import type { CueLengths } from '../../plan/layout.js';
import { didYouMean } from '../../protocol/did-you-mean.js';
import { END_CUE } from '../../protocol/study-file.js';
import type { Sound } from '../../signal/sound.js';

/** Kinds of files that a clip can be. */
export const CLIP_KINDS = ['.wav', '.flac', '.mp3'] as const;

/** A clip that is ready to be placed. */
export interface CueClip {
  /** What is said, faded; not yet at its level. */
  readonly sound: Sound;
  /** Of its file, lower-case hexadecimal. */
  readonly sha256: string;
}

/** Clips by the scan that they announce; {@link END_CUE} for the closing one. */
export type CueClips = ReadonlyMap<string, CueClip>;

/** Lengths of the cues in a step: those of the clips, or of the chime. */
export const cueLengthsOf =
  (clips: CueClips = new Map(), chimeSeconds: number): CueLengths =>
  scan => {
    const clip = clips.get(scan ?? END_CUE);
    return clip === undefined ? chimeSeconds : clip.sound.length / clip.sound.sampleRateHz;
  };

/**
 * The file of each clip.
 *
 * @param files - Names of the files in the folder of the kit's language.
 * @param scans - Names of the scans that are played.
 * @param where - The folder, for messages.
 * @returns Files by clip, and what is missing or there twice.
 */
export function matchClips(
  files: readonly string[],
  scans: readonly string[],
  where: string,
): { readonly clips: ReadonlyMap<string, string>; readonly problems: readonly Problem[] } {
  const audio = files.flatMap(file => {
    const kind = CLIP_KINDS.find(kind => file.toLowerCase().endsWith(kind));
    return kind === undefined ? [] : [{ file, name: file.slice(0, -kind.length) }];
  });
  const wanted = [...scans, END_CUE];
  const spare = audio.map(({ name }) => name).filter(name => !wanted.includes(name));
  const clips = new Map<string, string>();
  const problems: Problem[] = [];
  for (const name of wanted) {
    const [first, second] = audio.filter(clip => clip.name === name);
    if (first === undefined) {
      const near = didYouMean(name, spare);
      problems.push({
        where: `${where}/${name}.wav`,
        found: 'no such file',
        allowed: `a clip for each scan that is played, and ${END_CUE} for the end (${CLIP_KINDS.join(', ')})`,
        fix:
          near === undefined
            ? 'Record it; or take cues out of the study file, for chimes instead.'
            : `Rename ${near} if that is it.`,
      });
    } else if (second !== undefined) {
      problems.push({
        where: `${where}/${name}`,
        found: `${first.file} and ${second.file}`,
        allowed: 'one file for each clip',
        fix: 'Remove the one that is not wanted.',
      });
    } else {
      clips.set(name, first.file);
    }
  }
  return { clips, problems };
}

/** What is measured of a clip as it is. */
export interface ClipLevels extends Pick<
  Levels,
  'integratedLufs' | 'laeqDbfs' | 'lafmaxDbfs' | 'lcpeakDbfs' | 'truePeakDbtp'
> {
  /** Highest level over 10 ms. */
  readonly shortDbfs: number;
}

/**
 * The gain of a clip in dB: as loud (ITU-R BS.1770) as the voice reference, or softer by as much as
 * its sound is; held back where a limit would be passed.
 *
 * @param clip - Levels of the clip as it is.
 * @param voice - Of the voice reference as the kit has it.
 * @param levelDb - LAeq of what comes, re the voice reference.
 * @param limits - Of the kit, less what coding may add; `truePeakDbtp` re full scale.
 */
export function clipGainDb(
  clip: ClipLevels,
  voice: Pick<Levels, 'integratedLufs' | 'laeqDbfs'>,
  levelDb: number,
  limits: OffsetLimits & { readonly truePeakDbtp: number },
): number {
  return Math.min(
    voice.integratedLufs + Math.min(levelDb, 0) - clip.integratedLufs,
    voice.laeqDbfs + limits.laeqDb - clip.laeqDbfs,
    voice.laeqDbfs + limits.lafmaxDb - clip.lafmaxDbfs,
    voice.laeqDbfs + limits.lcpeakDb - clip.lcpeakDbfs,
    voice.laeqDbfs + limits.shortDb - clip.shortDbfs,
    limits.truePeakDbtp - clip.truePeakDbtp,
  );
}
