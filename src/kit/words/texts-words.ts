/**
 * Numbers as families read them: lengths, days, shares and loudness in words.
 *
 * Plurals, dates and numerals come from the platform's own internationalisation; digits are always
 * 0 to 9, so that a step or a code reads the same in every language.
 *
 * @module
 */
import { fillIn } from './texts.js';
import type { Words } from './texts-shape.js';

/** What makes a format slowly, from words, and never twice for the same ones. */
function remembered<Words extends string[], Format>(
  make: (...words: Words) => Format,
): (...words: Words) => Format {
  const made = new Map<string, Format>();
  return (...words) => {
    const key = words.join(' ');
    const format = made.get(key) ?? make(...words);
    made.set(key, format);
    return format;
  };
}

/** A locale with western digits. */
const withDigits = (language: string): string => `${language}-u-nu-latn`;

const unitFormat = remembered(
  (language: string, unit: 'second' | 'minute', unitDisplay: 'long' | 'short') =>
    new Intl.NumberFormat(withDigits(language), { style: 'unit', unit, unitDisplay }),
);

const dayFormat = remembered(
  (language: string, style: 'long' | 'short') =>
    new Intl.DateTimeFormat(withDigits(language === 'en' ? 'en-GB' : language), {
      weekday: style,
      day: 'numeric',
      month: style,
      timeZone: 'UTC',
    }),
);

/**
 * A length as parents say it: `20 seconds`, `1 minute, 30 seconds`, `5 minutes`. Rounded to 5 s under
 * a minute, to 10 s under three, to whole minutes above.
 */
export function lengthInWords(
  language: string,
  seconds: number,
  style: 'long' | 'short' = 'long',
): string {
  const unit = (name: 'second' | 'minute', value: number): string =>
    unitFormat(language, name, style).format(value);
  if (seconds < 57.5) return unit('second', Math.max(5, Math.round(seconds / 5) * 5));
  const tens = Math.round(seconds / 10) * 10;
  if (tens >= 180 || tens % 60 === 0) return unit('minute', Math.round(seconds / 60));
  const parts = [unit('minute', Math.floor(tens / 60)), unit('second', tens % 60)];
  // Narrow: in a table's column, "1 min 30 sec" takes one line.
  const listStyle = style === 'short' ? 'narrow' : 'long';
  return new Intl.ListFormat(language, { type: 'unit', style: listStyle }).format(parts);
}

/** A day, for example `Monday, 14 June` (`long`) or `Mon, 14 Jun` (`short`). */
export function dayInWords(language: string, date: string, style: 'long' | 'short'): string {
  return dayFormat(language, style).format(new Date(`${date}T00:00:00Z`));
}

/** A date, for example `5 January 2027`. */
export function dateInWords(language: string, date: string): string {
  return new Intl.DateTimeFormat(withDigits(language === 'en' ? 'en-GB' : language), {
    dateStyle: 'long',
    timeZone: 'UTC',
  }).format(new Date(`${date}T00:00:00Z`));
}

/** A share of the weekly listening allowance, never rounded to nothing. */
export function shareInWords(language: string, words: Words, percent: number): string {
  const format = (value: number): string =>
    new Intl.NumberFormat(withDigits(language), {
      style: 'percent',
      maximumFractionDigits: value < 0.1 ? 1 : 0,
    }).format(value);
  return percent < 0.1
    ? fillIn(words.guide.doseUnder, { dose: format(0.001) })
    : format(percent / 100);
}

/** How loud a sound is beside ordinary talk, in words. @param offsetDb - dB re the voice reference. */
export function loudnessInWords(words: Words, offsetDb: number): string {
  const { loudness } = words;
  // Our own bounds, half-way between the plan's 3 dB steps; 10 dB is about half as loud.
  if (offsetDb < -13.5) return loudness.farSofter;
  if (offsetDb < -7.5) return loudness.muchSofter;
  if (offsetDb < -4.5) return loudness.softer;
  if (offsetDb < -1.5) return loudness.littleSofter;
  if (offsetDb < 1.5) return loudness.same;
  if (offsetDb < 4.5) return loudness.littleLouder;
  return loudness.louder;
}
