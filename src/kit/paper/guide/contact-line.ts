/**
 * Whom to call, on one line.
 *
 * @module
 */
import type { KitContent } from '../../content.js';
import { inOwnDirection } from '../../words/isolate-direction.js';
import { fillIn, type Texts } from '../../words/texts.js';

/** With the contact's name, and what each of phone and e-mail is. */
export function contactLine({ contact }: KitContent, texts: Texts): string {
  const { name, phone, email } = contact;
  const { common } = texts.words;
  return callUs(texts, [
    name === undefined ? undefined : inOwnDirection(name, texts),
    phone === undefined ? undefined : `${common.phone} ${inOwnDirection(phone, texts)}`,
    email === undefined ? undefined : `${common.email} ${inOwnDirection(email, texts)}`,
  ]);
}

/** The shortest that helps, for the foot of every page. */
export const shortContactLine = ({ contact: { phone, email } }: KitContent, texts: Texts): string =>
  callUs(
    texts,
    [phone, email].map(way => (way === undefined ? undefined : inOwnDirection(way, texts))),
  );

function callUs({ words: { common } }: Texts, ways: readonly (string | undefined)[]): string {
  const value = ways
    .filter(way => way !== undefined)
    .reduce((first, second) => fillIn(common.pair, { first, second }));
  return fillIn(common.labelled, { label: common.callUs, value });
}
