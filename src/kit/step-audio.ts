/**
 * The audio of a step.
 *
 * @module
 */
import { layoutStep } from '../plan/layout.js';
import type { InterludeKind, Step } from '../plan/plan.js';
import type { PlanConstants } from '../protocol/plan-constants.js';
import { END_CUE } from '../protocol/study-file.js';
import { without } from '../protocol/without.js';
import { mix } from '../signal/mix.js';
import { type PlacedSound, sequence } from '../signal/sequence.js';
import { fitSound } from '../signal/shape-sound.js';
import { SAMPLE_RATE_HZ, type Sound } from '../signal/sound.js';
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
  readonly startS: number;
  readonly endS: number;
}

/** What is known of a step's audio without listening to it. */
export interface StepLevels {
  readonly durationS: number;
  /** When the short voice is at its full level, and that re the voice reference. */
  readonly voice: { readonly startS: number; readonly endS: number; readonly offsetDb: number };
  readonly sounds: readonly HeardSound[];
  readonly interludes: readonly HeardInterlude[];
}

export interface StepAudio extends StepLevels {
  readonly sound: Sound;
}

/** When something between scans is heard. */
export interface HeardInterlude {
  readonly kind: SoundingInterlude;
  readonly startS: number;
  readonly endS: number;
  /** LAeq between those times re the voice reference's. */
  readonly offsetDb: number;
}

/** What is heard of the scanner beside its scans, in Pa at the ear. */
export interface ScannerSounds {
  /** The scanner without gradients, as scans have it in them. */
  readonly background: (durationS: number) => Sound;
  /** What lies between scans, without background. */
  readonly interlude: (kind: SoundingInterlude, durationS: number) => Sound;
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
  const { durationS, parts } = layoutStep(step, layout, cueLengths);
  const { onsetS, levelDb } = step;
  const fadeOutS = layout.fadeOutSeconds;
  const sounds: (LevelledSound & Pick<HeardSound, 'scan' | 'softness'>)[] = [];
  for (const { scan, durationS, softness } of step.sounds) {
    const wanted = { scan, softness, durationS, onsetS, fadeOutS, levelDb };
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
  let voice = { startS: 0, endS: 0 };
  for (const { kind, startS, endS, sound, interlude } of parts) {
    const start = Math.round(startS * SAMPLE_RATE_HZ);
    const length = Math.round(endS * SAMPLE_RATE_HZ) - start;
    const place = (placed: Sound, track: PlacedSound[]): void => {
      track.push({ start, sound: fitSound(placed, length) });
    };
    const partS = length / SAMPLE_RATE_HZ;
    switch (kind) {
      case 'voice':
        voice = { startS: startS + VOICE_FADES.fadeInS, endS: endS - VOICE_FADES.fadeOutS };
        place(levelled.voice(partS), front);
        break;
      case 'cue':
        place(
          levelled.cue('rising', partS, sounds[sound]!.offsetDb, clips.get(sounds[sound]!.scan)),
          front,
        );
        break;
      case 'sound':
        heard.push({ ...without(sounds[sound]!, 'sound'), startS, endS });
        place(sounds[sound]!.sound, front);
        break;
      case 'background':
        place(fadedBackground(scanner.background(partS), backgroundGain), back);
        break;
      case 'interlude': {
        const kind = step.interludes[interlude!]!.kind as SoundingInterlude;
        const wanted = {
          durationS: partS,
          // Its own start is soft: a table sets off slowly, clicks come one by one.
          onsetS: Math.min(onsetS, partS / 2),
          fadeOutS,
          levelDb: levelDb + interludeOffsetDb,
        };
        const levelledOne = levelled.interlude(kind, scanner.interlude(kind, partS), wanted);
        between.push({ kind, startS, endS, offsetDb: levelledOne.offsetDb });
        place(levelledOne.sound, front);
        break;
      }
      case 'end-cue':
        place(levelled.cue('falling', partS, softestDb, clips.get(END_CUE)), front);
        break;
    }
  }
  const length = Math.round(durationS * SAMPLE_RATE_HZ);
  const main = sequence(SAMPLE_RATE_HZ, length, front);
  const sound = back.length === 0 ? main : mix(main, sequence(SAMPLE_RATE_HZ, length, back));
  return {
    sound,
    durationS,
    voice: { ...voice, offsetDb: levelled.voiceOffsetDb },
    sounds: heard,
    interludes: between,
  };
}
