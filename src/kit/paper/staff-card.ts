/**
 * A card of one page for the team at the scanner: the scans in order, the names that the family used
 * at home, and room for what was hard and what helped.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import type { DocumentFonts } from './document-fonts.js';
import {
  boxed,
  decoration,
  sideBySide,
  stack,
  type Block,
  type Flow,
  type Press,
} from './guide/blocks.js';
import { firstThatFits } from './guide/first-that-fits.js';
import { DUSK, section, SECTION_GAP, subsection, steps, title, words } from './guide/look.js';
import { Paper } from './guide/paper.js';
import { documentInfo } from './guide/document-info.js';
import { tableRows } from './guide/table.js';
import { inOwnDirection } from '../words/isolate-direction.js';
import { stepCount } from '../tags.js';
import { lengthInWords } from '../words/texts-words.js';
import { fillIn, type Texts } from '../words/texts.js';

/** Room to write what helped, in points. */
const WRITING_ROOM = 62;

/** Lines in it. */
const WRITING_LINES = 3;

/** Height of a table's row for a short protocol, and most of what the rows may take of the page. */
const ROW_HEIGHT = 30;
const ROWS_HEIGHT = 360;

/** Sizes of type to try until the card is one page. */
const SCALES = [1, 0.9, 0.82, 0.76, 0.7];

/** `staff-card.pdf`: one page, for protocols of up to about thirty scans. */
export function renderStaffCard(
  content: KitContent,
  texts: Texts,
  fonts: DocumentFonts,
): Promise<Uint8Array> {
  return firstThatFits(SCALES, 1, (scale, trial) =>
    writtenCard(content, texts, fonts, { scale, trial }),
  ).finish();
}

function writtenCard(
  content: KitContent,
  texts: Texts,
  fonts: DocumentFonts,
  look: { readonly scale: number; readonly trial: boolean },
): Paper {
  const { cards } = texts.words;
  const { protocol, manifest } = content;
  const { scale } = look;
  const paper = new Paper(documentInfo(content, texts, cards.staffTitle, look), fonts);
  const { press, width } = paper;
  paper.place(title(press, cards.staffTitle), words(press, cards.staffLead));
  paper.space(SECTION_GAP);
  paper.table(
    tableRows(
      press,
      [
        { title: '', share: 0.07 },
        { title: cards.staffHome, share: 0.3 },
        { title: cards.staffScan, share: 0.23 },
        { title: cards.staffLength, share: 0.18 },
        { title: cards.staffHard, share: 0.22 },
      ],
      protocol.map((scan, index) => [
        `${index + 1}.`,
        inOwnDirection(scan.plainName, texts),
        scan.name,
        lengthInWords(texts.language, scan.durationSeconds, 'short'),
        { box: true },
      ]),
      {
        style: { size: 11 * scale },
        rowHeight: Math.min(ROW_HEIGHT, ROWS_HEIGHT / protocol.length),
        headHeight: 22 * scale,
      },
      width,
    ),
  );
  paper.space(SECTION_GAP);
  const please = stack([section(press, cards.staffSays), steps(press, cards.staffWords)], 3);
  const helped = boxed(
    press,
    stack(
      [
        words(press, fillIn(cards.staffReached, { count: stepCount(manifest.steps) })),
        subsection(press, cards.staffHelped),
        room(press),
      ],
      6,
    ),
    { line: DUSK, padding: 11 },
  );
  paper.place(sideBySide(press, please, helped, 0.5, 18));
  return paper;
}

/** Lines to write on. */
const room =
  (press: Press): Flow =>
  (width): Block => ({
    height: WRITING_ROOM,
    draw: (x, y) => {
      decoration(press, () => {
        for (let line = 1; line <= WRITING_LINES; line++) {
          const at = y + (line * WRITING_ROOM) / WRITING_LINES;
          press.doc
            .moveTo(x, at)
            .lineTo(x + width, at)
            .lineWidth(0.6)
            .stroke('#999');
        }
      });
    },
  });
