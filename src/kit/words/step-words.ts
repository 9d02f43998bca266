/**
 * The steps of a kit as page and guide show them: numbers from the manifest, put into words once.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import type { ManifestStep } from '../manifest/manifest.js';
import { lengthInWords, loudnessInWords } from './texts-words.js';
import { fillIn, type Texts } from './texts.js';

export interface StepInWords {
  readonly number: number;
  /** What changed since the step before; empty when there is nothing to say. */
  readonly change: string;
  /** The same in a sentence or two. */
  readonly explained: string;
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
    change: wordFor(step.change, texts.words.change),
    explained: wordFor(step.change, texts.words.changeExplained),
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

/** What the words say of a thing of the manifest; nothing for one that they do not know. */
export const wordFor = (name: string, words: Readonly<Record<string, string>>): string =>
  Object.hasOwn(words, name) ? words[name]! : '';

/**
 * What a parent does differently from a step on, for the changes that ask for it, in the order of the
 * steps.
 */
export function practiceFromSteps({ manifest }: KitContent, texts: Texts): readonly string[] {
  const seen = new Set<string>();
  return manifest.steps.flatMap(step => {
    const text = wordFor(step.change, texts.words.changePractice);
    if (text === '' || seen.has(step.change)) return [];
    seen.add(step.change);
    return [fillIn(text, { number: step.number })];
  });
}
