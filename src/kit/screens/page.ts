/**
 * The page a family opens, `start-here.html`: one file that needs no network, no server and nothing
 * installed, and plays the audio files beside it.
 *
 * What it shows is written here, at build time, with every name escaped; what it does is in the
 * scripts of `sounds-synth/page/`. Its content-security policy allows nothing but the very script
 * and style in it and media from the same folder.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import { kitMark } from '../words/kit-symbol.js';
import type { DocumentFonts, FontFace, FontFaceName } from '../paper/document-fonts.js';
import { pageData } from './page-data.js';
import { Html, html, jsonForScript } from '../../formats/html.js';
import { ICONS, LOOKS_DRAWING, markIcon, NIGHT_SCENE } from './icons.js';
import { guideScreen } from './screen-guide.js';
import { logScreen } from './screen-log.js';
import { screensAfter } from './screens-after.js';
import { screensBefore } from './screens-before.js';
import { sha256Base64 } from './sha256.js';
import { fillIn, type Texts } from '../words/texts.js';

/** The page's own style, scripts and fonts, as bytes and text. */
export interface PageParts {
  /** Content of {@link PAGE_STYLE}. */
  readonly style: string;
  /** Contents of {@link PAGE_SCRIPTS}, in that order. */
  readonly scripts: readonly string[];
  readonly fonts: DocumentFonts;
}

/** File of the page's style, in `sounds-synth/page/`. */
export const PAGE_STYLE = 'page.css';

/** Files of the page's scripts, in `sounds-synth/page/`. They share one scope and run in this order. */
export const PAGE_SCRIPTS: readonly string[] = [
  'memory.js',
  'days.js',
  'screens.js',
  'device.js',
  'looks.js',
  'player.js',
  'volume.js',
  'today.js',
  'practice.js',
  'log-code.js',
  'log.js',
  'main.js',
];

/** The page of one kit. It expects the audio beside it, where the manifest says. */
export function renderPage(content: KitContent, texts: Texts, parts: PageParts): string {
  const data = pageData(content, texts);
  const fonts = parts.fonts.filter(({ name }) => EMBEDDED[texts.direction].includes(name));
  const style = fonts.map(fontFaces).join('') + parts.style;
  const script = `(function () {\n'use strict';\n${parts.scripts.map(withoutNotes).join('\n')}})();`;
  return html`<!doctype html>
    <html lang="${texts.language}" dir="${texts.direction}">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${policy(style, script)}" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="referrer" content="no-referrer" />
        <meta name="color-scheme" content="dark" />
        <meta name="format-detection" content="telephone=no" />
        <title>${texts.words.common.title}</title>
        ${new Html(`<style>${style}</style>`)}
      </head>
      <body>
        ${NIGHT_SCENE}
        <div class="page">
          ${header(content, texts)}
          <main>
            ${[...screensBefore(content, texts), ...screensAfter(content, texts, data.childMark), logScreen(texts, data.childMark), guideScreen(content, texts)]}
          </main>
        </div>
        ${LOOKS_DRAWING}
        <script type="application/json" id="kit-data">
          ${jsonForScript(data)}
        </script>
        ${new Html(`<script>${script}</script>`)}
      </body>
    </html> `.markup;
}

function header({ manifest }: KitContent, { words, unreviewed }: Texts): Html {
  const { common, page } = words;
  const mark = kitMark(manifest.kit);
  return html`<header>
      <p class="kit-code">
        ${markIcon(mark, words.symbols[mark.symbol])}
        <span>${fillIn(common.kit, { code: manifest.kit })}</span>
      </p>
      <nav>
        ${navButton(html`data-do="home"`, ICONS.home, page.home)}
        ${navButton(html`data-go="guide"`, ICONS.book, page.guide)}
        ${navButton(html`data-go="log"`, ICONS.list, page.log)}
      </nav>
    </header>
    ${manifest.approval === null ? html`<p class="draft">${common.draft}</p>` : ''}
    ${unreviewed.length > 0 ? html`<p class="draft">${common.unreviewed}</p>` : ''}
    <noscript><p class="notice">${page.noScript}</p></noscript>
    <p class="notice" id="save-first" hidden>${page.saveFirst}</p>`;
}

/** A script without the comments that stand on lines of their own: a page is sent by mail. */
const withoutNotes = (script: string): string =>
  script.replace(/^[ \t]*\/\*\*(?:(?!\*\/)[^])*\*\/\n/gm, '').replace(/^[ \t]*\/\/.*\n/gm, '');

/**
 * Faces that a page carries, by its direction. Names in letters of another are left to the device's own
 * typefaces: each face weighs a lot.
 */
const EMBEDDED: Readonly<Record<Texts['direction'], readonly FontFaceName[]>> = {
  ltr: ['latin', 'latin-extended'],
  rtl: ['latin', 'arabic'],
};

const navButton = (leads: Html, picture: Html, label: string): Html =>
  html`<button class="quiet" ${leads}>${picture}<span>${label}</span></button>`;

/**
 * Nothing may load or run but what is named. `file:` beside `'self'`, because browsers disagree on
 * what "self" is for a page opened from a disk.
 */
const policy = (style: string, script: string): string =>
  [
    "default-src 'none'",
    `script-src 'sha256-${sha256Base64(script)}'`,
    `style-src 'sha256-${sha256Base64(style)}'`,
    'font-src data:',
    "media-src 'self' file: content:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');

/** Each face is a family of its own, named in the style; the browser takes each letter from the first that has it. */
const fontFaces = ({ name, regular, bold }: FontFace): string =>
  [['400', regular] as const, ['700', bold] as const]
    .map(
      ([weight, bytes]) =>
        `@font-face{font-family:kit-${name};font-weight:${weight};` +
        `src:url(data:font/woff;base64,${base64(bytes)}) format("woff")}\n`,
    )
    .join('');

function base64(bytes: Uint8Array): string {
  let binary = '';
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return btoa(binary);
}
