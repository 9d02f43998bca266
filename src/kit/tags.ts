/**
 * What a player shows of a kit's files. Nothing in it says whose kit it is.
 *
 * @module
 */
import { type Id3Tag, writeId3 } from '../formats/id3.js';
import { fillIn, type Texts } from './words/texts.js';

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

/** How many steps a kit has for those who count them: half steps are none. */
export const stepCount = (steps: readonly { readonly number: number }[]): number =>
  Math.floor(Math.max(...steps.map(({ number }) => number)));

/** @param count - Of the kit's steps, see {@link stepCount}. */
export function stepTag(number: number, count: number, kit: string, texts: Texts): Uint8Array {
  return writeId3({
    ...common(kit, texts),
    title: stepTitle(number, count, texts),
    // Players sort by it: a half step comes after the one below it.
    track: { number: Math.max(Math.floor(number), 1), of: count },
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
