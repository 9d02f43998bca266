/**
 * Last page of the guide: the log to fill in by hand, and the row for stickers.
 *
 * @module
 */
import type { KitContent } from '../../content.js';
import { childMark } from '../../words/rating-scale.js';
import { isAsleep } from '../../words/texts-for.js';
import type { Texts } from '../../words/texts.js';
import { decoration, paragraph, type Block, type Flow, type Press } from './blocks.js';
import { section, small, words } from './look.js';
import type { Paper } from './paper.js';
import { tableRows, type Cell, type Column } from './table.js';

/** Height of a row: with room for big letters, or as low as still takes a pen. */
const ROW_HEIGHTS = { roomy: 27, tight: 20 } as const;

/** Room that the stickers take at the foot of the page. */
const STICKER_SIZE = 40;
const STICKERS_IN_A_ROW = 10;
const STICKERS_HEIGHT = 100;

export function logPage(paper: Paper, content: KitContent, texts: Texts): void {
  const { press, width } = paper;
  const { guide } = texts.words;
  paper.place(section(press, guide.logTitle), words(press, guide.logLead));
  paper.space(2);
  paper.place(paragraph(press, guide.logKey, small(press)));
  paper.space(6);
  const { columns, row } = logColumns(content, texts);
  const headHeight = 40;
  // A child asleep does not try anything.
  const hasStickers = !isAsleep(content.manifest);
  const room = paper.left - (hasStickers ? STICKERS_HEIGHT : 0) - headHeight;
  // A row for each sitting, where they fit.
  const rowHeight = Math.max(
    ROW_HEIGHTS.tight,
    Math.min(ROW_HEIGHTS.roomy, room / content.manifest.sessions.length),
  );
  const look = { style: { size: 10 }, rowHeight, headHeight };
  const rows = Math.floor(room / rowHeight);
  paper.table(
    tableRows(
      press,
      columns,
      Array.from({ length: rows }, () => row),
      look,
      width,
    ),
  );
  if (!hasStickers) return;
  paper.space(10);
  paper.place(
    section(press, guide.stickersTitle),
    words(press, guide.stickersLead),
    stickers(press),
  );
}

/** Columns of the log, and an empty row. How the child answers depends on age. */
function logColumns(content: KitContent, texts: Texts): { columns: Column[]; row: Cell[] } {
  const { guide } = texts.words;
  const mark = childMark(content.manifest);
  const entries: { title: string; width: number; cell: Cell }[] = [
    { title: guide.logDate, width: 12, cell: '' },
    { title: guide.logStep, width: 9, cell: '' },
    { title: guide.logVolume, width: 12, cell: { box: true } },
    { title: guide.logEnd, width: 13, cell: { box: true } },
  ];
  if (mark === 'scale') entries.push({ title: guide.logChild, width: 12, cell: '' });
  if (mark === 'pictures')
    entries.push({ title: guide.logChildFaces, width: 19, cell: { faces: true } });
  entries.push(
    { title: guide.logParent, width: 12, cell: '' },
    { title: guide.logSigns, width: 12, cell: '' },
    { title: guide.logNotes, width: 20, cell: '' },
  );
  const total = entries.reduce((sum, entry) => sum + entry.width, 0);
  return {
    columns: entries.map(({ title, width }) => ({ title, share: width / total })),
    row: entries.map(entry => entry.cell),
  };
}

/** Rings for stickers: decoration, with nothing to read. */
const stickers =
  (press: Press): Flow =>
  (width): Block => ({
    height: STICKER_SIZE + 8,
    draw: (x, y) => {
      decoration(press, () => {
        for (let place = 0; place < STICKERS_IN_A_ROW; place++) {
          const centre = x + ((place + 0.5) * width) / STICKERS_IN_A_ROW;
          press.doc
            .circle(centre, y + 8 + STICKER_SIZE / 2, STICKER_SIZE / 2)
            .lineWidth(1)
            .dash(3, { space: 3 })
            .stroke('#666')
            .undash();
        }
      });
    },
  });
