/**
 * What pages for staff have in common: one self-contained file that loads nothing.
 *
 * @module
 */
import { html, Html } from '../formats/html.js';

/** A page of a header and sections. `style` comes after what all have. */
export function staffPage(title: string, style: string, header: Html, main: Html): string {
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta
          http-equiv="Content-Security-Policy"
          content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"
        />
        <title>${title}</title>
        <style>
          ${new Html(STYLE + style)}
        </style>
      </head>
      <body>
        <header>${header}</header>
        <main>${main}</main>
      </body>
    </html> `.markup;
}

/** A length of time: `0:15`, `14:50`. */
export function clock(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

const STYLE = `
body { margin: 0; background: #fbfaf5; color: #1b1e36; font: 1rem/1.5 system-ui, sans-serif; }
header, main { max-width: 66rem; margin: 0 auto; padding: 1rem 1.5rem; }
h1 { margin: 0; font-size: 1.8rem; }
section { border-top: 1px solid var(--rule); padding: 1rem 0; }
figure { margin: 0; } figcaption { font-size: .85rem; color: #4a4d63; }
`;
