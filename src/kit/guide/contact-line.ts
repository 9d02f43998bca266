/**
 * Whom to call, on one line.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import type { Texts } from '../texts.js';

export function contactLine({ contact }: KitContent, { words: { common } }: Texts): string {
  const { name, phone, email } = contact;
  const ways = [
    name,
    phone === undefined ? undefined : `${common.phone} ${leftToRight(phone)}`,
    email === undefined ? undefined : `${common.email} ${leftToRight(email)}`,
  ].filter(way => way !== undefined);
  return `${common.callUs}: ${ways.join(', ')}`;
}

/**
 * A number or address reads from left to right in every language: marks on both sides keep it so
 * (U+200E, UAX 9).
 */
const leftToRight = (text: string): string => `\u200e${text}\u200e`;
