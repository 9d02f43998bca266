/**
 * What a player shows of a kit's files. Nothing in it says whose kit it is.
 *
 * @module
 */
import { type Id3Tag, writeId3 } from '../formats/id3.js';
import type { Step } from '../plan/plan.js';
import type { KitPlan } from './plan-kit.js';
import { fillIn, type Texts } from './texts.js';

/**
 * Players that level out loudness leave a file alone that says it needs no gain. The levels of the
 * files are the point of a kit.
 */
const NEUTRAL_GAIN = [
  ['REPLAYGAIN_TRACK_GAIN', '0.00 dB'],
  ['REPLAYGAIN_ALBUM_GAIN', '0.00 dB'],
] as const;

/** Three-letter codes (ISO 639-2/T) of two-letter ones (ISO 639-1). */
const LONG_LANGUAGE_CODES: Readonly<Record<string, string>> = {
  ar: 'ara',
  da: 'dan',
  de: 'deu',
  en: 'eng',
  es: 'spa',
  fi: 'fin',
  fr: 'fra',
  hi: 'hin',
  it: 'ita',
  ja: 'jpn',
  ko: 'kor',
  nb: 'nob',
  nl: 'nld',
  pl: 'pol',
  pt: 'por',
  sv: 'swe',
  tr: 'tur',
  uk: 'ukr',
  zh: 'zho',
};

/** "Step 3 of 14" in the kit's language. */
export const stepTitle = (number: number, count: number, { words }: Texts): string =>
  fillIn(words.common.stepOf, { number, count });

export function stepTag(step: Step, { code, plan }: KitPlan, texts: Texts): Uint8Array {
  const { number } = step;
  const of = plan.steps.length;
  return writeId3({
    ...common(code, texts),
    title: stepTitle(number, of, texts),
    track: { number, of },
  });
}

export function voiceTag(code: string, texts: Texts): Uint8Array {
  return writeId3({ ...common(code, texts), title: texts.words.volume.title });
}

function common(code: string, { words, language }: Texts): Omit<Id3Tag, 'title' | 'track'> {
  return {
    album: `${words.common.title} (${code})`,
    language: LONG_LANGUAGE_CODES[language.split('-')[0]!] ?? 'und',
    comment: words.volume.keep,
    custom: [['KIT', code], ...NEUTRAL_GAIN],
  };
}
