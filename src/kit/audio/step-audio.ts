/**
 * The audio of a step.
 *
 * @module
 */
import { layoutStep } from '../../plan/layout.js';
import type { InterludeKind, Step } from '../../plan/plan.js';
import type { PlanConstants } from '../../protocol/plan-constants.js';
import { END_CUE } from '../../protocol/study-file.js';
import { without } from '../../protocol/without.js';
import { mix } from '../../signal/mix.js';
import { type PlacedSound, sequence } from '../../signal/sequence.js';
import { fitSound } from '../../signal/shape-sound.js';
import { SAMPLE_RATE_HZ, type Sound } from '../../signal/sound.js';
import { type CueClips, cueLengthsOf } from './cue-clips.js';
import {
  fadedBackground,
  type LevelledSound,
  type LevelledSounds,
  VOICE_FADES,
} from './levelled-sounds.js';

/** When a scan's sound is heard, and how loud. */
export interface HeardSound extends Omit<LevelledSound, 'sound'> {
  readonly scan: string;
  readonly softness: number;
  readonly startSeconds: number;
  readonly endSeconds: number;
}

/** What is known of a step's audio without listening to it. */
export interface StepLevels {
  readonly durationSeconds: number;
  /** When the short voice is at its full level, and that re the voice reference. */
  readonly voice: {
    readonly startSeconds: number;
    readonly endSeconds: number;
    readonly offsetDb: number;
  };
  readonly sounds: readonly HeardSound[];
  readonly interludes: readonly HeardInterlude[];
}

export interface StepAudio extends StepLevels {
  readonly sound: Sound;
}

/** When something between scans is heard. */
export interface HeardInterlude {
  readonly kind: SoundingInterlude;
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** LAeq between those times re the voice reference's. */
  readonly offsetDb: number;
}

/** What is heard of the scanner beside its scans, in Pa at the ear. */
export interface ScannerSounds {
  /** The scanner without gradients, as scans have it in them. */
  readonly background: (durationSeconds: number) => Sound;
  /** What lies between scans, without background. */
  readonly interlude: (kind: SoundingInterlude, durationSeconds: number) => Sound;
}

/** A pause has no sound of its own. */
export type SoundingInterlude = Exclude<InterludeKind, 'pause'>;

/**
 * Puts a step together: its sounds are measured, and rendered when the result is read.
 *
 * @param breathe - Lets other work have its turn between two sounds.
 * @param clips - Recorded cues; chimes where there is none.
 */
export async function stepAudio(
  step: Step,
  { layout, interludeOffsetDb }: Pick<PlanConstants, 'layout' | 'interludeOffsetDb'>,
  levelled: LevelledSounds,
  scanner: ScannerSounds,
  breathe: () => Promise<void>,
  clips: CueClips = new Map(),
): Promise<StepAudio> {
  const cueLengths = cueLengthsOf(clips, layout.cueSeconds);
  const { durationSeconds, parts } = layoutStep(step, layout, cueLengths);
  const { onsetSeconds, levelDb } = step;
  const fadeOutSeconds = layout.fadeOutSeconds;
  const sounds: (LevelledSound & Pick<HeardSound, 'scan' | 'softness'>)[] = [];
  for (const { scan, durationSeconds, softness } of step.sounds) {
    const wanted = { scan, softness, durationSeconds, onsetSeconds, fadeOutSeconds, levelDb };
    sounds.push({ scan, softness, ...levelled.scan(wanted) });
    await breathe();
  }
  const softestDb = Math.min(...sounds.map(({ offsetDb }) => offsetDb));
  // Softer than any scan by as much as in the scanner, whatever each scan was scaled by.
  const backgroundGain = Math.min(...sounds.map(({ gain }) => gain));

  const front: PlacedSound[] = [];
  const back: PlacedSound[] = [];
  const heard: HeardSound[] = [];
  const between: HeardInterlude[] = [];
  let voice = { startSeconds: 0, endSeconds: 0 };
  for (const { kind, startSeconds, endSeconds, sound, interlude } of parts) {
    const start = Math.round(startSeconds * SAMPLE_RATE_HZ);
    const length = Math.round(endSeconds * SAMPLE_RATE_HZ) - start;
    const place = (placed: Sound, track: PlacedSound[]): void => {
      track.push({ start, sound: fitSound(placed, length) });
    };
    const partSeconds = length / SAMPLE_RATE_HZ;
    switch (kind) {
      case 'voice':
        voice = {
          startSeconds: startSeconds + VOICE_FADES.fadeInSeconds,
          endSeconds: endSeconds - VOICE_FADES.fadeOutSeconds,
        };
        place(levelled.voice(partSeconds), front);
        break;
      case 'cue':
        place(
          levelled.cue(
            'rising',
            partSeconds,
            sounds[sound]!.offsetDb,
            clips.get(sounds[sound]!.scan),
          ),
          front,
        );
        break;
      case 'sound':
        heard.push({ ...without(sounds[sound]!, 'sound'), startSeconds, endSeconds });
        place(sounds[sound]!.sound, front);
        break;
      case 'background':
        place(fadedBackground(scanner.background(partSeconds), backgroundGain), back);
        break;
      case 'interlude': {
        const kind = step.interludes[interlude!]!.kind as SoundingInterlude;
        const wanted = {
          durationSeconds: partSeconds,
          // Its own start is soft: a table sets off slowly, clicks come one by one.
          onsetSeconds: Math.min(onsetSeconds, partSeconds / 2),
          fadeOutSeconds,
          levelDb: levelDb + interludeOffsetDb,
        };
        const levelledOne = levelled.interlude(kind, scanner.interlude(kind, partSeconds), wanted);
        between.push({ kind, startSeconds, endSeconds, offsetDb: levelledOne.offsetDb });
        place(levelledOne.sound, front);
        break;
      }
      case 'end-cue':
        place(levelled.cue('falling', partSeconds, softestDb, clips.get(END_CUE)), front);
        break;
    }
  }
  const length = Math.round(durationSeconds * SAMPLE_RATE_HZ);
  const main = sequence(SAMPLE_RATE_HZ, length, front);
  const sound = back.length === 0 ? main : mix(main, sequence(SAMPLE_RATE_HZ, length, back));
  return {
    sound,
    durationSeconds,
    voice: { ...voice, offsetDb: levelled.voiceOffsetDb },
    sounds: heard,
    interludes: between,
  };
}
