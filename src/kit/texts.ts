/**
 * The words of page, guide and log in one language.
 *
 * @module
 */

export interface Texts {
  /** BCP 47 tag. */
  readonly language: string;
  readonly direction: 'ltr' | 'rtl';
}

/**
 * Texts from the parsed content of a file in `sounds-synth/texts/`.
 *
 * @param parsed - What the YAML file holds.
 * @param where - Its name, for messages.
 * @throws {UserError} BAD_STUDY, with every string that is missing, unknown or malformed.
 */
export function parseTexts(parsed: unknown, where: string): Texts {
  void parsed;
  throw new Error(`${where}: being written`);
}
