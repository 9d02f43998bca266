/**
 * A sheet of labels for kits: code, symbol and study, to stick on a folder, a disc or a USB stick.
 *
 * @module
 */
import type { DocumentFonts } from './document-fonts.js';
import { decoration, drawLines, tagged, type Press, type Structure } from './guide/blocks.js';
import { approvalLine, statusMarks } from './guide/document-info.js';
import { drawMark } from './guide/mark.js';
import { Paper } from './guide/paper.js';
import type { TextStyle } from './guide/type-setter.js';
import { fillIn, type Texts } from '../words/texts.js';

export interface LabelSheet {
  readonly study: string;
  /** Kit codes with their check characters, in the order of the labels. */
  readonly codes: readonly string[];
  /** Reference of the ethics approval; null for a draft. */
  readonly approval: string | null;
  readonly paper?: 'A4' | 'Letter' | undefined;
}

/** Labels of a page. Cut along the lines: the sheets that shops sell differ too much to fit. */
const COLUMNS = 3;
const ROWS = 8;

const MARK_SIZE = 40;

/** Space between mark, words and edge. */
const PADDING = 8;

/** A code is never cut: where it is too wide, all of it gets smaller. */
const CODE: TextStyle = { size: 13.5, bold: true };
const STUDY: TextStyle = { size: 9.5, colour: '#333' };

/** `labels.pdf`. @throws {RangeError} There are no codes. */
export function renderLabels(
  sheet: LabelSheet,
  texts: Texts,
  fonts: DocumentFonts,
): Promise<Uint8Array> {
  const { cards, common, guide } = texts.words;
  if (sheet.codes.length === 0) throw new RangeError('a label sheet needs at least one kit code');
  const paper = new Paper(
    {
      title: cards.labels,
      language: texts.language,
      direction: texts.direction,
      size: sheet.paper === 'Letter' ? 'LETTER' : 'A4',
      scale: 1,
      kit: '',
      head: [cards.labels, sheet.study],
      marks: statusMarks(sheet.approval, texts),
      foot: (number, count) => [
        fillIn(guide.page, { number, count }),
        approvalLine(sheet.approval, texts),
      ],
    },
    fonts,
  );
  const perPage = COLUMNS * ROWS;
  for (let from = 0; from < sheet.codes.length; from += perPage) {
    if (from > 0) paper.newPage();
    const height = paper.left / ROWS;
    paper.place(width => ({
      height: paper.left,
      draw: (x, y, parent) => {
        for (const [index, code] of sheet.codes.slice(from, from + perPage).entries()) {
          const place = {
            x: x + ((index % COLUMNS) * width) / COLUMNS,
            y: y + Math.floor(index / COLUMNS) * height,
            width: width / COLUMNS,
            height,
          };
          label(paper.press, parent, [fillIn(common.kit, { code }), sheet.study], code, place);
        }
      },
    }));
  }
  return paper.finish();
}

function label(
  press: Press,
  parent: Structure,
  [title, study]: readonly [string, string],
  code: string,
  place: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  },
): void {
  const { doc, setter } = press;
  const { x, y, width, height } = place;
  const rtl = setter.direction === 'rtl';
  const textWidth = width - MARK_SIZE - 3 * PADDING;
  const textX = rtl ? x + PADDING : x + MARK_SIZE + 2 * PADDING;
  const middle = y + height / 2;
  decoration(press, () => {
    doc.rect(x, y, width, height).lineWidth(0.4).dash(2, { space: 3 }).stroke('#999').undash();
  });
  const markX = rtl ? x + width - PADDING - MARK_SIZE : x + PADDING;
  drawMark(press, code, markX, middle - MARK_SIZE / 2, MARK_SIZE);
  const codeStyle = setter.fitted(title, CODE, textWidth);
  tagged(press, parent, 'P', () => {
    for (const [text, style, top] of [
      [title, codeStyle, -18],
      [study, STUDY, 4],
    ] as const) {
      const line = setter.oneLine(text, style, textWidth);
      drawLines(press, [line], style, textX, middle + top, textWidth);
    }
  });
}
