/**
 * A kit's symbol on paper.
 *
 * @module
 */
import { kitMark, SYMBOL_SIZE, SYMBOLS } from '../../words/kit-symbol.js';
import { decoration, type Press } from './blocks.js';

/** Draws the mark of a kit in a disc of `size` points, its top left corner at `x`, `y`. */
export function drawMark(press: Press, code: string, x: number, y: number, size: number): void {
  const { doc } = press;
  const { symbol, colour } = kitMark(code);
  const inner = 0.62 * size;
  const inset = (size - inner) / 2;
  decoration(press, () => {
    doc
      .circle(x + size / 2, y + size / 2, size / 2 - 0.6)
      .lineWidth(0.8)
      .fillAndStroke(colour, '#333');
    doc.save();
    doc.translate(x + inset, y + inset).scale(inner / SYMBOL_SIZE);
    doc.path(SYMBOLS[symbol]).fill('#1b1e36');
    doc.restore();
  });
}
