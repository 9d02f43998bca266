/**
 * Tables of a printed document: rows that grow to two lines where words need it, and never break
 * across pages.
 *
 * @module
 */
import {
  decoration,
  drawLines,
  type Block,
  type Press,
  structureOptions,
  type Structure,
} from './blocks.js';
import type { Line, TextStyle } from './type-setter.js';

export interface Column {
  readonly title: string;
  /** Share of the width; shares of a table add up to 1. */
  readonly share: number;
}

/** What stands in a cell: words, a box to tick, or nothing (to write in). */
export type Cell = string | { readonly box: true } | { readonly faces: true };

export interface TableLook {
  readonly style: TextStyle;
  readonly rowHeight: number;
  readonly headHeight: number;
}

/** Space between a cell's edge and its words. */
const CELL_PADDING = 5;

/** Side of a box to tick. */
const BOX_SIZE = 11;

/** Lines of a cell; what is longer is cut. */
const MOST_LINES = 2;

/** Space above and below the words of a row, together. */
const ROW_PADDING = 5;

const RULE = '#9a9db8';
const HEAD_FILL = '#e8e9f2';

/** The rows of a table, the head first. Draw them all into one structure element `Table`. */
export function tableRows(
  press: Press,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  look: TableLook,
  width: number,
): readonly Block[] {
  const head = columns.map(column => column.title);
  return [
    rowBlock(press, columns, head, look, width, 'TH'),
    ...rows.map(row => rowBlock(press, columns, row, look, width, 'TD')),
  ];
}

function rowBlock(
  press: Press,
  columns: readonly Column[],
  cells: readonly Cell[],
  look: TableLook,
  width: number,
  tag: 'TH' | 'TD',
): Block {
  const isHead = tag === 'TH';
  const style = isHead ? { ...look.style, bold: true } : look.style;
  const { doc, setter } = press;
  const set = cells.map((cell, index) =>
    typeof cell === 'string'
      ? setter.lines(cell, style, columns[index]!.share * width - 2 * CELL_PADDING, MOST_LINES)
      : cell,
  );
  const lines = Math.max(...set.map(cell => (isLines(cell) ? cell.length : 1)));
  const height = Math.max(
    isHead ? look.headHeight : look.rowHeight,
    lines * setter.lineHeight(style) + ROW_PADDING,
  );
  return {
    height,
    draw: (x, y, parent) => {
      decoration(press, () => {
        if (isHead) doc.rect(x, y, width, height).fill(HEAD_FILL);
        doc
          .moveTo(x, y + height)
          .lineTo(x + width, y + height)
          .lineWidth(0.6)
          .stroke(RULE);
      });
      const row = doc.struct('TR');
      parent.add(row);
      let start = 0;
      for (const [index, column] of columns.entries()) {
        const cellWidth = column.share * width;
        const left = setter.direction === 'rtl' ? x + width - start - cellWidth : x + start;
        drawCell(press, set[index]!, style, { left, y, cellWidth, height, tag }, row);
        start += cellWidth;
      }
      row.end();
    },
  };
}

/** A cell whose words have been set. */
type SetCell = readonly Line[] | Exclude<Cell, string>;

const isLines = (cell: SetCell): cell is readonly Line[] => Array.isArray(cell);

interface Place {
  readonly left: number;
  readonly y: number;
  readonly cellWidth: number;
  readonly height: number;
  readonly tag: 'TH' | 'TD';
}

function drawCell(
  press: Press,
  cell: SetCell,
  style: TextStyle,
  place: Place,
  row: Structure,
): void {
  const { doc, setter } = press;
  const { left, y, cellWidth, height, tag } = place;
  const middle = y + height / 2;
  const content = doc.markStructureContent(tag);
  if (isLines(cell)) {
    const textWidth = cellWidth - 2 * CELL_PADDING;
    const top = middle - (cell.length * setter.lineHeight(style)) / 2;
    drawLines(press, cell, style, left + CELL_PADDING, top, textWidth);
  } else if ('box' in cell) {
    const boxLeft =
      setter.direction === 'rtl' ? left + cellWidth - CELL_PADDING - BOX_SIZE : left + CELL_PADDING;
    doc
      .roundedRect(boxLeft, middle - BOX_SIZE / 2, BOX_SIZE, BOX_SIZE, 2)
      .lineWidth(1)
      .stroke('#333');
  } else {
    drawFaces(press, left, middle, cellWidth);
  }
  doc.endMarkedContent();
  row.add(doc.struct(tag, structureOptions(tag), [content]));
}

/** Three faces to circle: fine, a bit much, too much. */
function drawFaces(press: Press, left: number, middle: number, width: number): void {
  const { doc } = press;
  const radius = Math.min(8, width / 8);
  for (const [index, bend] of [0.45, 0, -0.45].entries()) {
    const x = left + (width * (index + 1)) / 4;
    doc.lineWidth(0.9).circle(x, middle, radius).stroke('#333');
    for (const side of [-0.35, 0.35]) {
      doc.circle(x + side * radius, middle - 0.2 * radius, 0.8).fill('#333');
    }
    const mouth = middle + 0.4 * radius;
    doc
      .moveTo(x - 0.45 * radius, mouth - (bend * radius) / 2)
      .quadraticCurveTo(x, mouth + bend * radius, x + 0.45 * radius, mouth - (bend * radius) / 2)
      .stroke('#333');
  }
}
