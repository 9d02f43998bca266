/**
 * The page a family opens: one file, no network, nothing to install.
 *
 * @module
 */
import type { KitContent } from './content.js';
import type { Texts } from './texts.js';

/** The page's own style and scripts, as read from `sounds-synth/page/`. */
export interface PageParts {
  readonly style: string;
  /** In the order of {@link PAGE_SCRIPTS}. */
  readonly scripts: readonly string[];
}

/** File of the page's style, in `sounds-synth/page/`. */
export const PAGE_STYLE = 'page.css';

/** Files of the page's scripts, in `sounds-synth/page/`, in the order in which they must run. */
export const PAGE_SCRIPTS: readonly string[] = ['main.js'];

/** `start-here.html`. Opens from a double click; expects the audio beside it, as the manifest names it. */
export function renderPage(content: KitContent, texts: Texts, parts: PageParts): string {
  void texts;
  return `<!doctype html><title>${content.manifest.kit}</title>${parts.scripts.join('')}`;
}
