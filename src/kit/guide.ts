/**
 * The printed guide for parents, as PDF.
 *
 * @module
 */
import type { KitContent } from './content.js';
import type { DocumentFonts } from './document-fonts.js';
import type { Texts } from './texts.js';

/** `guide.pdf`. Same content, texts and fonts: same bytes. */
export function renderGuide(
  content: KitContent,
  texts: Texts,
  fonts: DocumentFonts,
): Promise<Uint8Array> {
  return Promise.reject(
    new Error(
      `the guide of ${content.manifest.kit} is being written (${texts.language}, ${fonts.length})`,
    ),
  );
}
