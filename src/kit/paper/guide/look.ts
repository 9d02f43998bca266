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

/** Space above a section's heading. */
export const SECTION_GAP = 11;

/** What is read at length: 12 points, less where a language needs more room. */
export const body = (press: Press): TextStyle => ({ size: 12 * press.scale });

export const bold = (press: Press): TextStyle => ({ ...body(press), bold: true });

export const small = (press: Press): TextStyle => ({ size: 10.5 * press.scale, colour: '#222' });

export const title = (press: Press, text: string): Flow =>
  paragraph(press, text, { size: 24 * press.scale, bold: true, colour: DUSK }, 'H1');

export const section = (press: Press, text: string): Flow =>
  paragraph(press, text, { size: 15 * press.scale, bold: true, colour: DUSK }, 'H2');

export const subsection = (press: Press, text: string): Flow =>
  paragraph(press, text, bold(press), 'H3');

export const words = (press: Press, text: string): Flow => paragraph(press, text, body(press));

export const points = (press: Press, items: readonly string[]): Flow =>
  list(press, items, body(press), 'dots');

export const steps = (press: Press, items: readonly string[]): Flow =>
  list(press, items, body(press), 'numbers');
