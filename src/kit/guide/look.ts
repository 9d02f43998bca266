/**
 * The look of printed documents: sizes in points, and colours whose greys differ.
 *
 * @module
 */
import { list, paragraph, type Flow, type Press } from './blocks.js';
import type { TextStyle } from './type-setter.js';

/** Dusk, as on the page; prints as a dark grey. */
export const DUSK = '#232852';

/** Background of boxes; prints as a light grey. */
export const PALE = '#eff0f7';

export const BODY: TextStyle = { size: 12 };
export const SMALL: TextStyle = { size: 10.5, colour: '#222' };
const TITLE: TextStyle = { size: 24, bold: true, colour: DUSK };
const SECTION: TextStyle = { size: 15, bold: true, colour: DUSK };
const SUBSECTION: TextStyle = { size: 12, bold: true };

/** Space above a section's heading. */
export const SECTION_GAP = 11;

export const title = (press: Press, text: string): Flow => paragraph(press, text, TITLE, 'H1');

export const section = (press: Press, text: string): Flow => paragraph(press, text, SECTION, 'H2');

export const subsection = (press: Press, text: string): Flow =>
  paragraph(press, text, SUBSECTION, 'H3');

export const words = (press: Press, text: string): Flow => paragraph(press, text, BODY);

export const points = (press: Press, items: readonly string[]): Flow =>
  list(press, items, BODY, 'dots');

export const steps = (press: Press, items: readonly string[]): Flow =>
  list(press, items, BODY, 'numbers');
