/**
 * A kit as audio CDs: one image and one CUE sheet a disc, one track a step, the voice reference
 * first on each, since the volume is set anew with each disc.
 *
 * @module
 */
import {
  type CueSheet,
  FRAMES_PER_SECOND,
  MAX_TRACKS,
  MIN_TRACK_FRAMES,
  SAMPLES_PER_FRAME,
} from '../../formats/cue-sheet.js';
import { sequence } from '../../signal/sequence.js';
import { SAMPLE_RATE_HZ, type Sound } from '../../signal/sound.js';

/**
 * Silence between two tracks, in s: a CD player goes on by itself, and what comes next is a louder
 * step. Long enough to get up and press stop; players count it down. Our own choice.
 */
export const DISC_GAP_SECONDS = 10;

/** What every disc holds, in minutes: the oldest recordable ones have no more. */
export const DISC_MINUTES = 74;

/** Frames before the first track that players skip and burning programs add, by the Red Book. */
const LEAD_FRAMES = 2 * FRAMES_PER_SECOND;

const DISC_FRAMES = DISC_MINUTES * 60 * FRAMES_PER_SECOND - LEAD_FRAMES;

const GAP_FRAMES = DISC_GAP_SECONDS * FRAMES_PER_SECOND;

/** A track in the image of its disc. */
export interface DiscTrack {
  /** Index of its sound; null for the voice reference. */
  readonly sound: number | null;
  readonly startFrame: number;
  readonly frames: number;
}

/** Where everything lies on one disc. */
export interface DiscLayout {
  readonly tracks: readonly DiscTrack[];
  readonly frames: number;
}

/**
 * Sounds in order on as few discs as hold them.
 *
 * @param voice - Samples of the voice reference.
 * @param sounds - Samples of each sound.
 * @throws {RangeError} A sound is too long for a disc.
 */
export function layoutDiscs(voice: number, sounds: readonly number[]): readonly DiscLayout[] {
  const discs: DiscLayout[] = [];
  let tracks: DiscTrack[] = [];
  const end = (): number => (tracks.length === 0 ? 0 : endFrame(tracks.at(-1)!));
  const add = (sound: number | null, samples: number): void => {
    const startFrame = tracks.length === 0 ? 0 : end() + GAP_FRAMES;
    tracks.push({ sound, startFrame, frames: framesOf(samples) });
  };
  const close = (): void => {
    discs.push({ tracks, frames: end() });
    tracks = [];
  };
  for (const [i, samples] of sounds.entries()) {
    const isFull =
      tracks.length === MAX_TRACKS || end() + GAP_FRAMES + framesOf(samples) > DISC_FRAMES;
    if (tracks.length > 0 && isFull) close();
    if (tracks.length === 0) add(null, voice);
    add(i, samples);
    if (end() > DISC_FRAMES) throw new RangeError(`a disc holds ${DISC_MINUTES} min`);
  }
  close();
  return discs;
}

/** The sound of one channel of a disc. */
export function discSound(
  { tracks, frames }: DiscLayout,
  voice: Sound,
  sounds: readonly Sound[],
): Sound {
  return sequence(
    SAMPLE_RATE_HZ,
    frames * SAMPLES_PER_FRAME,
    tracks.map(({ sound, startFrame }) => ({
      start: startFrame * SAMPLES_PER_FRAME,
      sound: sound === null ? voice : sounds[sound]!,
    })),
  );
}

/** The sheet of a disc. */
export function discSheet({ tracks }: DiscLayout, { title, file, titleOf }: DiscNames): CueSheet {
  return {
    title,
    file,
    tracks: tracks.map((track, i) => ({
      title: titleOf(track.sound),
      startFrame: track.startFrame,
      pauseFrame: i === 0 ? track.startFrame : endFrame(tracks[i - 1]!),
    })),
  };
}

export interface DiscNames {
  readonly title: string;
  /** Name of the image. */
  readonly file: string;
  readonly titleOf: (sound: number | null) => string;
}

const endFrame = ({ startFrame, frames }: DiscTrack): number => startFrame + frames;

const framesOf = (samples: number): number =>
  Math.max(MIN_TRACK_FRAMES, Math.ceil(samples / SAMPLES_PER_FRAME));
