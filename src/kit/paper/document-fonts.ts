/**
 * The typefaces that page and guide carry in themselves. Whoever reads files reads these and passes
 * their bytes in.
 *
 * Atkinson Hyperlegible was drawn so that letters and digits are hard to mistake for one another.
 *
 * @module
 */

export interface FontFace {
  readonly name: FontFaceName;
  /** WOFF files. */
  readonly regular: Uint8Array;
  readonly bold: Uint8Array;
}

/** In the order in which they are tried for a character; the first also sets the measure. */
export type DocumentFonts = readonly FontFace[];

/** Files of each face, as `package/path`. All are under the SIL Open Font License. */
export const FONT_FILES = [
  {
    name: 'latin',
    regular: '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-400-normal.woff',
    bold: '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-700-normal.woff',
  },
  {
    name: 'latin-extended',
    regular:
      '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-ext-400-normal.woff',
    bold: '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-ext-700-normal.woff',
  },
  {
    name: 'arabic',
    regular: '@fontsource/ibm-plex-sans-arabic/files/ibm-plex-sans-arabic-arabic-400-normal.woff',
    bold: '@fontsource/ibm-plex-sans-arabic/files/ibm-plex-sans-arabic-arabic-700-normal.woff',
  },
] as const;

export type FontFaceName = (typeof FONT_FILES)[number]['name'];
