/**
 * The printed guide for parents, `guide.pdf`: what this is and when to ask first; volume, practice
 * and when to stop; the days; the log. Four pages as a rule; the days and the log each have one of
 * their own, so that it can lie on the kitchen table.
 *
 * It reads the same in greyscale: nothing is told by colour alone.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import type { DocumentFonts } from './document-fonts.js';
import { Paper } from './guide/paper.js';
import { daysPage } from './guide/days-page.js';
import { beginning } from './guide/beginning.js';
import { documentInfo } from './guide/document-info.js';
import { firstThatFits } from './guide/first-that-fits.js';
import { logPage } from './guide/log-page.js';
import { SECTION_GAP } from './guide/look.js';
import { practice } from './guide/practice.js';
import type { Texts } from '../words/texts.js';

/** Most pages of a guide. */
const MOST_PAGES = 4;

/** Room that a log of some weeks needs at least, in points. */
const LOG_HEIGHT = 420;

/** Sizes of type to try until it fits: from 12 points down to 10. */
const SCALES = [1, 0.96, 0.92, 0.88, 0.84];

/** `guide.pdf`. Same content, texts and fonts: same bytes. */
export function renderGuide(
  content: KitContent,
  texts: Texts,
  fonts: DocumentFonts,
): Promise<Uint8Array> {
  const write = (scale: number, trial: boolean): Paper =>
    writtenGuide(content, texts, fonts, { scale, trial });
  return firstThatFits(SCALES, MOST_PAGES, write).finish();
}

function writtenGuide(
  content: KitContent,
  texts: Texts,
  fonts: DocumentFonts,
  look: { readonly scale: number; readonly trial: boolean },
): Paper {
  const paper = new Paper(documentInfo(content, texts, texts.words.common.title, look), fonts);
  beginning(paper, content, texts);
  paper.space(SECTION_GAP);
  practice(paper, content, texts);
  paper.newPage();
  const pages = paper.pages;
  daysPage(paper, content, texts);
  // After a long plan, the scan day has gone over to the next page; the log shares that page with it.
  if (paper.pages > pages && paper.left > LOG_HEIGHT) paper.space(2 * SECTION_GAP);
  else paper.newPage();
  logPage(paper, content, texts);
  return paper;
}
