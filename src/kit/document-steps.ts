/**
 * The steps of a kit as page and guide show them: numbers from the manifest, put into words once.
 *
 * @module
 */
import type { KitContent } from './content.js';
import type { ManifestStep } from './manifest.js';
import { lengthInWords, loudnessInWords } from './texts-words.js';
import type { Texts } from './texts.js';

export interface StepInWords {
  readonly number: number;
  /** What changed since the step before; empty when there is nothing to say. */
  readonly change: string;
  readonly length: string;
  /** The same for a narrow column. */
  readonly shortLength: string;
  readonly loudness: string;
  /** Level of its loudest sound, in dB re the voice reference. */
  readonly offsetDb: number;
  readonly sounds: readonly { readonly name: string; readonly length: string }[];
}

/** The steps of a kit in words, in order. */
export function stepsInWords(content: KitContent, texts: Texts): readonly StepInWords[] {
  return content.manifest.steps.map(step => ({
    number: step.number,
    change: changeInWords(step, texts),
    length: lengthInWords(texts.language, step.durationSeconds),
    shortLength: lengthInWords(texts.language, step.durationSeconds, 'short'),
    loudness: loudnessInWords(texts.words, loudestOffsetDb(step)),
    offsetDb: loudestOffsetDb(step),
    sounds: step.sounds.map(sound => ({
      name: sound.plainName,
      length: lengthInWords(texts.language, sound.endSeconds - sound.startSeconds),
    })),
  }));
}

const loudestOffsetDb = (step: ManifestStep): number =>
  Math.max(...step.sounds.map(sound => sound.offsetDb));

function changeInWords(step: ManifestStep, texts: Texts): string {
  const { change } = texts.words;
  return Object.hasOwn(change, step.change) ? change[step.change as keyof typeof change] : '';
}
