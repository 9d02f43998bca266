/**
 * Markup with escaping that cannot be forgotten: whatever is put into an `html` template is escaped,
 * unless it is itself the result of one.
 *
 * @module
 */

/** Markup that may stand in a page as it is. */
export class Html {
  constructor(readonly markup: string) {}
}

type Insert = Html | string | number | undefined | readonly Insert[];

/** A template literal of markup. Strings and numbers are escaped for text and quoted attributes. */
export function html(parts: TemplateStringsArray, ...inserts: Insert[]): Html {
  let markup = parts[0]!;
  for (const [index, insert] of inserts.entries()) markup += markupOf(insert) + parts[index + 1]!;
  return new Html(markup);
}

/** Text for between tags and for quoted attributes. */
export const escapeHtml = (text: string): string =>
  text.replace(/[&<>"']/g, character => ENTITIES[character]!).replace(UNSEEN_CONTROLS, ' ');

/**
 * JSON for a `<script type="application/json">`: nothing in it can end the element or, in an old
 * browser, the line.
 */
export const jsonForScript = (value: unknown): Html =>
  new Html(
    JSON.stringify(value).replace(
      /[<>&\u2028\u2029]/g,
      character => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
    ),
  );

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Control characters other than white space: HTML has no place for them. */
const UNSEEN_CONTROLS = /[\u0000-\u0008\u000b\u000e-\u001f\u007f-\u009f]/g;

function markupOf(insert: Insert): string {
  if (insert === undefined) return '';
  if (insert instanceof Html) return insert.markup;
  if (typeof insert === 'object') return insert.map(markupOf).join('');
  return escapeHtml(String(insert));
}
