/**
 * The printed guide for parents, as PDF.
 *
 * @module
 */
import type { KitContent } from './content.js';
import type { Texts } from './texts.js';

/** Bytes of the font files that the guide embeds (WOFF, WOFF2, TTF or OTF). */
export interface GuideFonts {
  readonly regular: Uint8Array;
  readonly bold: Uint8Array;
}

/** `guide.pdf`. Same content, texts and fonts: same bytes. */
export function renderGuide(
  content: KitContent,
  texts: Texts,
  fonts: GuideFonts,
): Promise<Uint8Array> {
  return Promise.reject(
    new Error(
      `the guide of ${content.manifest.kit} is being written (${texts.language}, ${fonts.regular.length})`,
    ),
  );
}
