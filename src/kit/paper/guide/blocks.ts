/**
 * The pieces that a printed document is laid out from. A block knows its height before it is drawn,
 * so that nothing is ever cut by the end of a page; a flow becomes a block once its width is known.
 *
 * Each block draws itself with its place in the document's structure (PDF 1.7, 14.7), so that a
 * screen reader reads headings, lists and tables as such; rules, boxes and dots are artefacts.
 *
 * All distances in points.
 *
 * @module
 */
import type PDFDocument from 'pdfkit';
import type { Line, TextStyle, TypeSetter } from './type-setter.js';

export type Pdf = InstanceType<typeof PDFDocument>;

/** An element of the document's structure. */
export type Structure = ReturnType<Pdf['struct']>;

/** What everything is drawn with. */
export interface Press {
  readonly doc: Pdf;
  readonly setter: TypeSetter;
  /** Size of type, 1 for the full size. */
  readonly scale: number;
}

export interface Block {
  readonly height: number;
  /** Draws with the top left corner at `x`, `y`, as a child of `parent`. */
  draw(x: number, y: number, parent: Structure): void;
}

export type Flow = (width: number) => Block;

export type Tag = 'P' | 'H1' | 'H2' | 'H3' | 'Lbl' | 'LBody' | 'TH' | 'TD';

/** Space between a list's mark and its words. */
const MARK_WIDTH = 20;

/** Space between the points of a list. */
const POINT_GAP = 2.5;

/** Runs `drawing` as content of a new structure element. */
export function tagged(press: Press, parent: Structure, tag: Tag, drawing: () => void): void {
  const { doc } = press;
  const content = doc.markStructureContent(tag);
  drawing();
  doc.endMarkedContent();
  parent.add(doc.struct(tag, structureOptions(tag), [content]));
}

/** A head says what its column holds. The library's type declarations leave `scope` out. */
export const structureOptions = (tag: Tag): object => (tag === 'TH' ? { scope: 'Column' } : {});

/** Runs `drawing` as decoration, which readers skip. */
export function decoration(press: Press, drawing: () => void): void {
  press.doc.markContent('Artifact', { type: 'Layout' });
  drawing();
  press.doc.endMarkedContent();
}

/** Draws lines below one another, from the side where reading starts. */
export function drawLines(
  press: Press,
  lines: readonly Line[],
  style: TextStyle,
  x: number,
  y: number,
  width: number,
): void {
  const { setter } = press;
  for (const [index, line] of lines.entries()) {
    const left = setter.direction === 'rtl' ? x + width - line.width : x;
    setter.draw(line, style, left, y + index * setter.lineHeight(style));
  }
}

export const paragraph =
  (press: Press, text: string, style: TextStyle, tag: Tag = 'P'): Flow =>
  width => {
    const lines = press.setter.lines(text, style, width);
    return {
      height: lines.length * press.setter.lineHeight(style),
      draw: (x, y, parent) => {
        tagged(press, parent, tag, () => {
          drawLines(press, lines, style, x, y, width);
        });
      },
    };
  };

/** What stands at the end of each point of a list: its width, and its parts, one for each point. */
export interface Asides {
  readonly width: number;
  readonly flows: readonly Flow[];
}

/** Points with a dot, or steps numbered from `from`; with something at the end of each, if wanted. */
export const list =
  (
    press: Press,
    items: readonly string[],
    style: TextStyle,
    kind: 'dots' | 'numbers',
    from = 1,
    asides: Asides = { width: 0, flows: [] },
  ): Flow =>
  width => {
    const textWidth = width - MARK_WIDTH - asides.width;
    const rtl = press.setter.direction === 'rtl';
    const lineHeight = press.setter.lineHeight(style);
    const points = items.map(item => press.setter.lines(item, style, textWidth));
    const blocks = asides.flows.map(flow => flow(asides.width));
    const heights = points.map(
      (lines, index) => Math.max(lines.length * lineHeight, blocks[index]?.height ?? 0) + POINT_GAP,
    );
    return {
      height: sum(heights),
      draw: (x, y, parent) => {
        const structure = press.doc.struct('L');
        parent.add(structure);
        let top = y;
        for (const [index, lines] of points.entries()) {
          const point = press.doc.struct('LI');
          structure.add(point);
          const markX = rtl ? x + width - MARK_WIDTH : x;
          if (kind === 'numbers') numberMark(press, index + from, style, markX, top, point);
          else dotMark(press, style, rtl ? x + width - 5 : x + 5, top);
          tagged(press, point, 'LBody', () => {
            drawLines(press, lines, style, rtl ? x + asides.width : x + MARK_WIDTH, top, textWidth);
          });
          blocks[index]?.draw(rtl ? x : x + width - asides.width, top, point);
          point.end();
          top += heights[index]!;
        }
        structure.end();
      },
    };
  };

/** Flows below one another, `gap` apart. */
export const stack =
  (flows: readonly Flow[], gap: number): Flow =>
  width => {
    const blocks = flows.map(flow => flow(width));
    return {
      height: sum(blocks.map(block => block.height)) + gap * Math.max(0, blocks.length - 1),
      draw: (x, y, parent) => {
        let top = y;
        for (const block of blocks) {
          block.draw(x, top, parent);
          top += block.height + gap;
        }
      },
    };
  };

/** Two flows side by side; the first where reading starts. `share` is its part of the width. */
export const sideBySide =
  (press: Press, first: Flow, second: Flow, share: number, gap: number): Flow =>
  width => {
    const firstWidth = (width - gap) * share;
    const secondWidth = width - gap - firstWidth;
    const [a, b] = [first(firstWidth), second(secondWidth)];
    const rtl = press.setter.direction === 'rtl';
    return {
      height: Math.max(a.height, b.height),
      draw: (x, y, parent) => {
        a.draw(rtl ? x + secondWidth + gap : x, y, parent);
        b.draw(rtl ? x : x + firstWidth + gap, y, parent);
      },
    };
  };

/** A flow in a frame. */
export const boxed =
  (
    press: Press,
    flow: Flow,
    look: { readonly fill?: string; readonly line?: string; readonly padding: number },
  ): Flow =>
  width => {
    const block = flow(width - 2 * look.padding);
    const height = block.height + 2 * look.padding;
    return {
      height,
      draw: (x, y, parent) => {
        decoration(press, () => {
          const shape = press.doc.roundedRect(x, y, width, height, 8);
          if (look.fill !== undefined && look.line !== undefined) {
            shape.lineWidth(1.2).fillAndStroke(look.fill, look.line);
          } else if (look.fill !== undefined) shape.fill(look.fill);
          else shape.lineWidth(1.2).stroke(look.line ?? '#000');
        });
        block.draw(x + look.padding, y + look.padding, parent);
      },
    };
  };

export const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

function numberMark(
  press: Press,
  number: number,
  style: TextStyle,
  x: number,
  y: number,
  parent: Structure,
): void {
  const bold = { ...style, bold: true };
  const [line] = press.setter.lines(`${number}.`, bold, MARK_WIDTH);
  tagged(press, parent, 'Lbl', () => {
    drawLines(press, [line!], bold, x, y, MARK_WIDTH);
  });
}

function dotMark(press: Press, style: TextStyle, x: number, y: number): void {
  decoration(press, () => {
    press.doc.circle(x, y + 0.7 * style.size, 2).fill(style.colour ?? '#000');
  });
}
