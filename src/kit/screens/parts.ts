/**
 * Pieces that several screens of the page are made of.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import type { Texts } from '../words/texts.js';
import { Html, html } from '../../formats/html.js';

/**
 * One screen: a heading that takes the focus when the screen comes, the matter, and the buttons that
 * stay in reach of the thumb. The script shows one at a time.
 */
export const screen = (
  name: string,
  title: string,
  matter: Html,
  actions?: Html,
  shown: 'hidden' | 'shown' = 'hidden',
): Html =>
  html`<section
    class="screen"
    id="screen-${name}"
    aria-labelledby="title-${name}"
    ${shown === 'hidden' ? new Html('hidden') : ''}
  >
    <h1 id="title-${name}" tabindex="-1">${title}</h1>
    <div class="matter">${matter}</div>
    ${actions === undefined ? '' : html`<div class="actions">${actions}</div>`}
  </section> `;

export const points = (items: readonly string[]): Html =>
  html`<ul class="points">
    ${items.map(item => html`<li>${item}</li>`)}
  </ul>`;

export const stepsList = (items: readonly string[]): Html =>
  html`<ol class="numbered">
    ${items.map(item => html`<li>${item}</li>`)}
  </ol>`;

/** Whom to call, with what a phone can dial or write to. */
export function contactCard({ contact }: KitContent, { words: { common } }: Texts): Html {
  const { name, phone, email } = contact;
  return html`<address class="contact">
    ${name === undefined ? '' : html`<p><bdi>${name}</bdi></p>`}
    ${
      phone === undefined
        ? ''
        : html`<p>
            ${common.phone} <a href="tel:${phone.replace(/[^+\d]/g, '')}" dir="ltr">${phone}</a>
          </p>`
    }
    ${
      email === undefined
        ? ''
        : html`<p>
            ${common.email} <a href="mailto:${encodeURIComponent(email)}" dir="ltr">${email}</a>
          </p>`
    }
  </address>`;
}
