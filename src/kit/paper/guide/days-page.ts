/**
 * The guide's page of days: boxes to tick, and the sounds of the scan day in order.
 *
 * @module
 */
import type { KitContent } from '../../content.js';
import { stepsInWords } from '../../words/step-words.js';
import { dayInWords } from '../../words/texts-words.js';
import { fillIn, type Texts } from '../../words/texts.js';
import { paragraph, stack } from './blocks.js';
import { bold, section, SECTION_GAP, small, words } from './look.js';
import type { Paper } from './paper.js';
import { scanOrder } from './scan-order.js';
import { tableRows, type Cell } from './table.js';

/** Height of a row, from roomy for a short plan to tight for a long one. */
const ROW_HEIGHTS = { roomy: 24, tight: 17 } as const;

/** A plan of more sittings than this gets tight rows. */
const MANY_SESSIONS = 16;

export function daysPage(paper: Paper, content: KitContent, texts: Texts): void {
  const { press } = paper;
  const { guide, page } = texts.words;
  if (content.manifest.sessions.length > 0) calendar(paper, content, texts);
  else {
    paper.place(
      section(press, page.worryPageTitle),
      paragraph(press, page.practiceStopped, bold(press)),
    );
  }
  paper.space(SECTION_GAP);
  paper.place(
    section(press, scanDayTitle(content, texts)),
    stack(
      [
        words(press, guide.scanDayLead),
        scanOrder(press, content, texts),
        ...(content.manifest.pictures.length === 0
          ? []
          : [paragraph(press, texts.words.looks.explained, small(press))]),
      ],
      4,
    ),
  );
}

function calendar(paper: Paper, content: KitContent, texts: Texts): void {
  const { press, width } = paper;
  const { guide } = texts.words;
  paper.place(section(press, guide.calendarTitle), words(press, guide.calendarLead));
  paper.space(6);
  const isLong = content.manifest.sessions.length > MANY_SESSIONS;
  paper.table(
    tableRows(
      press,
      [
        { title: guide.doneColumn, share: 0.08 },
        { title: guide.dayColumn, share: 0.17 },
        { title: guide.stepColumn, share: 0.08 },
        { title: guide.lengthColumn, share: 0.15 },
        { title: guide.loudColumn, share: 0.25 },
        { title: guide.newColumn, share: 0.27 },
      ],
      sessionRows(content, texts),
      {
        style: { size: (isLong ? 10 : 10.5) * press.scale },
        rowHeight: (isLong ? ROW_HEIGHTS.tight : ROW_HEIGHTS.roomy) * press.scale,
        headHeight: 22,
      },
      width,
    ),
  );
}

function sessionRows(content: KitContent, texts: Texts): Cell[][] {
  const { guide } = texts.words;
  const steps = new Map(stepsInWords(content, texts).map(step => [step.number, step]));
  const seen = new Set<number>();
  return content.manifest.sessions.map(({ day, date, step: number }) => {
    const step = steps.get(number)!;
    const isNew = !seen.has(number);
    seen.add(number);
    return [
      { box: true },
      date === null
        ? fillIn(guide.dayNumber, { number: day })
        : dayInWords(texts.language, date, 'short'),
      String(number),
      step.shortLength,
      step.loudness,
      isNew ? step.change : guide.again,
    ];
  });
}

function scanDayTitle({ scanDate }: KitContent, texts: Texts): string {
  const { guide } = texts.words;
  return scanDate === null
    ? guide.scanDayTitle
    : fillIn(texts.words.common.labelled, {
        label: guide.scanDayTitle,
        value: dayInWords(texts.language, scanDate, 'long'),
      });
}
