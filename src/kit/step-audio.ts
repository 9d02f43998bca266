/**
 * The audio of a step.
 *
 * @module
 */
import { layoutStep } from '../plan/layout.js';
import type { Step } from '../plan/plan.js';
import type { LayoutConstants } from '../protocol/plan-constants.js';
import { mix } from '../signal/mix.js';
import { type PlacedSound, sequence } from '../signal/sequence.js';
import { fitSound } from '../signal/shape-sound.js';
import { SAMPLE_RATE_HZ, type Sound } from '../signal/sound.js';
import {
  fadedBackground,
  type LevelledSound,
  type LevelledSounds,
  VOICE_FADES,
} from './levelled-sounds.js';

/** When a scan's sound is heard, and how loud. */
export interface HeardSound extends LevelledSound {
  readonly scan: string;
  readonly startS: number;
  readonly endS: number;
}

export interface StepAudio {
  readonly sound: Sound;
  readonly durationS: number;
  /** When the voice reference is at its full level. */
  readonly voice: { readonly startS: number; readonly endS: number };
  readonly sounds: readonly HeardSound[];
}

/**
 * Puts a step together: its sounds are measured, and rendered when the result is read.
 *
 * @param background - The scanner without gradients, in Pa at the ear, as scans have it in them.
 * @param breathe - Lets other work have its turn between two sounds.
 */
export async function stepAudio(
  step: Step,
  layout: LayoutConstants,
  levelled: LevelledSounds,
  background: (durationS: number) => Sound,
  breathe: () => Promise<void>,
): Promise<StepAudio> {
  const { durationS, parts } = layoutStep(step, layout);
  const sounds: (LevelledSound & { readonly scan: string })[] = [];
  for (const { scan, durationS } of step.sounds) {
    const { onsetS, levelDb } = step;
    const fadeOutS = layout.fadeOutSeconds;
    sounds.push({ scan, ...levelled.scan({ scan, durationS, onsetS, fadeOutS, levelDb }) });
    await breathe();
  }
  const softestDb = Math.min(...sounds.map(({ offsetDb }) => offsetDb));
  // Softer than any scan by as much as in the scanner, whatever each scan was scaled by.
  const backgroundGain = Math.min(...sounds.map(({ gain }) => gain));

  const front: PlacedSound[] = [];
  const back: PlacedSound[] = [];
  const heard: HeardSound[] = [];
  let voice = { startS: 0, endS: 0 };
  for (const { kind, startS, endS, sound } of parts) {
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
        place(levelled.cue('rising', partS, sounds[sound]!.offsetDb), front);
        break;
      case 'sound':
        heard.push({ ...sounds[sound]!, startS, endS });
        place(sounds[sound]!.sound, front);
        break;
      case 'background':
        place(fadedBackground(background(partS), backgroundGain), back);
        break;
      case 'end-cue':
        place(levelled.cue('falling', partS, softestDb), front);
        break;
    }
  }
  const length = Math.round(durationS * SAMPLE_RATE_HZ);
  const main = sequence(SAMPLE_RATE_HZ, length, front);
  const sound = back.length === 0 ? main : mix(main, sequence(SAMPLE_RATE_HZ, length, back));
  return { sound, durationS, voice, sounds: heard };
}
