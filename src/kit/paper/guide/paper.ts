/**
 * Sheets of paper: places blocks one below the other, starts a new page when one does not fit, and
 * puts the same head and foot on every page.
 *
 * The file carries a title and a language, one fixed date, and nothing of who made it or where.
 *
 * @module
 */
import PDFDocument from 'pdfkit';
import { joinBytes } from '../../../formats/join-bytes.js';
import type { DocumentFonts } from '../document-fonts.js';
import {
  decoration,
  drawLines,
  type Block,
  type Flow,
  type Press,
  type Structure,
} from './blocks.js';
import { drawMark } from './mark.js';
import { type Line, TypeSetter, type TextStyle } from './type-setter.js';

export interface PaperInfo {
  readonly title: string;
  readonly language: string;
  readonly direction: 'ltr' | 'rtl';
  readonly size: 'A4' | 'LETTER';
  /** Code of the kit, whose symbol stands at the top of every page; empty for a sheet of many kits. */
  readonly kit: string;
  /** Printed at the top of every page: where reading starts, and at the other end. */
  readonly head: readonly [start: string, end: string];
  /** Printed in a frame below the head of every page. */
  readonly marks: readonly string[];
  /** Size of type, 1 for the full size. */
  readonly scale: number;
  /** Whether the sheets are only counted, and nothing is drawn. */
  readonly trial?: boolean | undefined;
  /** Printed at the bottom of every page, in the same places. */
  readonly foot: (page: number, count: number) => readonly [start: string, end: string];
}

/** Outer margin in points: printers need about 12 mm, a hole punch some more. */
const MARGIN = 44;

/** Size of the kit's symbol in the head. */
const MARK_SIZE = 22;

/** Room for the foot. */
const FOOT_HEIGHT = 24;

/** The date that every document carries: nothing about a kit may depend on the day it is made. */
const FIXED_DATE = new Date(Date.UTC(2000, 0, 1));

const HEAD_STYLE: TextStyle = { size: 10, colour: '#3a3f66' };

/** Smallest type of head and foot, in points. */
const SMALLEST_HEAD = 6.5;

const MARK_STYLE: TextStyle = { size: 11, bold: true };

export class Paper {
  readonly press: Press;
  readonly root: Structure;
  readonly width: number;
  private y = 0;
  private readonly bytes: Promise<Uint8Array>;

  constructor(
    private readonly info: PaperInfo,
    fonts: DocumentFonts,
  ) {
    const doc = new PDFDocument({
      size: info.size,
      margin: MARGIN,
      autoFirstPage: false,
      bufferPages: true,
      pdfVersion: '1.7',
      tagged: true,
      displayTitle: true,
      lang: info.language,
      // The library would read its own default font from a disk; none is wanted.
      font: null as unknown as string,
      info: {
        Title: info.title,
        Producer: 'softknock',
        Creator: 'softknock',
        CreationDate: FIXED_DATE,
        ModDate: FIXED_DATE,
      },
    });
    this.bytes = bytesOf(doc);
    this.press = { doc, setter: new TypeSetter(doc, fonts, info.direction), scale: info.scale };
    this.root = doc.struct('Document');
    doc.addStructure(this.root);
    doc.addPage();
    this.width = doc.page.width - 2 * MARGIN;
    this.y = MARGIN + this.drawHead(true);
  }

  /** Room left on this page. */
  get left(): number {
    return this.press.doc.page.height - MARGIN - FOOT_HEIGHT - this.y;
  }

  /** Whether nothing has been placed on this page. */
  private atTop = true;

  get pages(): number {
    return this.press.doc.bufferedPageRange().count;
  }

  newPage(): void {
    this.press.doc.addPage();
    this.y = MARGIN + this.drawHead(false);
    this.atTop = true;
  }

  space(height: number): void {
    if (!this.atTop) this.y += height;
  }

  /** Places flows that belong together on one page, a new one if need be. */
  place(...flows: readonly Flow[]): void {
    const blocks = flows.map(flow => flow(this.width));
    const height = blocks.reduce((sum, block) => sum + block.height, 0);
    if (height > this.left && !this.atTop) this.newPage();
    for (const block of blocks) this.put(block, this.root);
  }

  /** Places the rows of a table; where it goes on on a new page, its head is printed again. */
  table(rows: readonly Block[]): void {
    const table = this.press.doc.struct('Table');
    this.root.add(table);
    const [head] = rows;
    for (const [index, row] of rows.entries()) {
      if (row.height > this.left && !this.atTop) {
        this.newPage();
        if (index > 0) this.put(head!, table);
      }
      this.put(row, table);
    }
    table.end();
  }

  /** Feet on all pages, and the file's bytes. */
  finish(): Promise<Uint8Array> {
    const { doc } = this.press;
    const { count } = doc.bufferedPageRange();
    for (let page = 0; page < count; page++) {
      doc.switchToPage(page);
      const y = doc.page.height - MARGIN - 12;
      this.pageLine(this.info.foot(page + 1, count), y, 0.2);
    }
    this.press.setter.nameLigatures();
    this.root.end();
    doc.end();
    return this.bytes;
  }

  private put(block: Block, parent: Structure): void {
    if (this.info.trial !== true) block.draw(MARGIN, this.y, parent);
    this.y += block.height;
    this.atTop = false;
  }

  /** Head of a page; returns its height. On the first page a reader hears the marks too. */
  private drawHead(first: boolean): number {
    const { press, info, width } = this;
    const rtl = info.direction === 'rtl';
    const { trial = false } = info;
    const markX = rtl ? MARGIN + width - MARK_SIZE : MARGIN;
    if (info.kit !== '' && !trial) drawMark(press, info.kit, markX, MARGIN - 23, MARK_SIZE);
    if (!trial) this.pageLine(info.head, MARGIN - 18, 0.5, info.kit === '' ? 0 : MARK_SIZE + 6);
    let top = MARGIN + 4;
    for (const mark of info.marks) {
      const lines = press.setter.lines(mark, MARK_STYLE, width - 20);
      const height = lines.length * press.setter.lineHeight(MARK_STYLE) + 8;
      const y = top;
      top += height + 6;
      if (trial) continue;
      decoration(press, () => {
        press.doc.roundedRect(MARGIN, y, width, height, 5).lineWidth(1.2).dash(4, { space: 3 });
        press.doc.stroke('#000').undash();
      });
      const drawing = (): void => {
        drawLines(press, lines, MARK_STYLE, MARGIN + 10, y + 4, width - 20);
      };
      if (first) {
        const content = press.doc.markStructureContent('P');
        drawing();
        press.doc.endMarkedContent();
        this.root.add(press.doc.struct('P', {}, [content]));
      } else decoration(press, drawing);
    }
    return top - MARGIN + 4;
  }

  /** A small line at the start of a page's width, within `share` of it, and one at the end. */
  private pageLine(
    [start, end]: readonly [string, string],
    y: number,
    share: number,
    indent = 0,
  ): void {
    const { press, width } = this;
    const [startLine, startStyle] = this.fitted(start, share * width - indent - 8);
    const [endLine, endStyle] = this.fitted(end, (1 - share) * width - 8);
    const rtl = this.info.direction === 'rtl';
    const startX = rtl ? MARGIN + width - indent - startLine.width : MARGIN + indent;
    const endX = rtl ? MARGIN : MARGIN + width - endLine.width;
    decoration(press, () => {
      press.setter.draw(startLine, startStyle, startX, y);
      press.setter.draw(endLine, endStyle, endX, y);
    });
  }

  /** A line of head or foot in smaller type where it is too wide; cut only where that is not enough. */
  private fitted(text: string, width: number): readonly [Line, TextStyle] {
    const { setter } = this.press;
    const style = setter.fitted(text, HEAD_STYLE, width, SMALLEST_HEAD);
    return [setter.oneLine(text, style, width), style];
  }
}

function bytesOf(doc: InstanceType<typeof PDFDocument>): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    const chunks: Uint8Array[] = [];
    doc.on('data', (chunk: Uint8Array) => chunks.push(chunk));
    doc.on('end', () => {
      resolve(joinBytes(chunks));
    });
    doc.on('error', reject);
  });
}
