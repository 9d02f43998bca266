/**
 * Text that a person writes on one line: a name, a reason.
 *
 * @module
 */

/** Control characters, line separators, and characters that turn the direction of writing. */
const NOT_IN_LINE = /[\p{Cc}\p{Zl}\p{Zp}\u202a-\u202e\u2066-\u2069]/u;

/** Whether a text is not blank, not too long, and on one line. */
export const isOneLine = (text: string, max: number): boolean =>
  text.trim() !== '' && text.length <= max && !NOT_IN_LINE.test(text);
