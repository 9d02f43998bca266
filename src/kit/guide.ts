/**
 * The printed guide for parents, `guide.pdf`: what this is and when to ask first; volume, practice
 * and when to stop; the days; the log. Four pages as a rule; the days and the log each have one of
 * their own, so that it can lie on the kitchen table.
 *
 * It reads the same in greyscale: nothing is told by colour alone.
 *
 * @module
 */
import type { KitContent } from './content.js';
import type { DocumentFonts } from './document-fonts.js';
import { Paper } from './guide/paper.js';
import { contactLine } from './guide/contact-line.js';
import { daysPage } from './guide/days-page.js';
import { beginning } from './guide/beginning.js';
import { logPage } from './guide/log-page.js';
import { SECTION_GAP } from './guide/look.js';
import { practice } from './guide/practice.js';
import { fillIn, type Texts } from './texts.js';

/** `guide.pdf`. Same content, texts and fonts: same bytes. */
export function renderGuide(
  content: KitContent,
  texts: Texts,
  fonts: DocumentFonts,
): Promise<Uint8Array> {
  const { common, guide } = texts.words;
  const { manifest } = content;
  const paper = new Paper(
    {
      title: common.title,
      language: texts.language,
      direction: texts.direction,
      size: 'A4',
      head: [fillIn(common.kit, { code: manifest.kit }), approvalLine(content, texts)],
      marks: [
        ...(manifest.approval === null ? [common.draft] : []),
        ...(texts.review === 'unreviewed' ? [common.unreviewed] : []),
      ],
      foot: (number, count) => [fillIn(guide.page, { number, count }), contactLine(content, texts)],
    },
    fonts,
  );
  beginning(paper, content, texts);
  paper.space(SECTION_GAP);
  practice(paper, texts);
  paper.newPage();
  daysPage(paper, content, texts);
  paper.newPage();
  logPage(paper, content, texts);
  return paper.finish();
}

const approvalLine = ({ manifest }: KitContent, { words: { common } }: Texts): string =>
  manifest.approval === null ? '' : fillIn(common.approved, { reference: manifest.approval });
