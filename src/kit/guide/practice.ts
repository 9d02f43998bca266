/**
 * Middle of the guide: the volume, each practice, when to stop, how loud it gets.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import { practiceFromSteps } from '../document-steps.js';
import { inOwnDirection } from '../own-direction.js';
import { dayInWords, shareInWords } from '../texts-words.js';
import { fillIn, type Texts } from '../texts.js';
import { boxed, paragraph, sideBySide, stack, type Flow, type Press } from './blocks.js';
import {
  bold,
  DUSK,
  PALE,
  points,
  section,
  SECTION_GAP,
  small,
  steps,
  subsection,
  words,
} from './look.js';
import type { Paper } from './paper.js';

export function practice(paper: Paper, content: KitContent, texts: Texts): void {
  const { press } = paper;
  const { practice: each, stopping, volume } = texts.words;
  paper.place(section(press, volume.title), steps(press, volume.steps));
  paper.space(3);
  paper.place(paragraph(press, volume.keep, bold(press)));
  paper.space(SECTION_GAP);
  paper.place(section(press, each.title), steps(press, each.steps));
  paper.space(3);
  for (const text of practiceFromSteps(content, texts)) paper.place(words(press, text));
  paper.place(words(press, each.missed));
  paper.space(SECTION_GAP);
  paper.place(
    boxed(
      press,
      stack(
        [
          section(press, stopping.title),
          sideBySide(
            press,
            stack([subsection(press, stopping.nowTitle), points(press, stopping.now)], 3),
            stack([subsection(press, stopping.callTitle), points(press, stopping.call)], 3),
            0.47,
            18,
          ),
          words(press, stopping.after),
          paragraph(press, stopping.emergency, bold(press)),
        ],
        5,
      ),
      { fill: PALE, line: DUSK, padding: 11 },
    ),
  );
  paper.space(SECTION_GAP);
  paper.place(estimate(press, content, texts));
  if (content.guideNote !== undefined) {
    paper.space(6);
    paper.place(words(press, inOwnDirection(content.guideNote, texts)));
  }
}

/** How loud the loudest step comes out, as an interval, and what a week of it amounts to. */
function estimate(press: Press, { manifest }: KitContent, texts: Texts): Flow {
  const { guide } = texts.words;
  const loudest = manifest.steps.reduce((a, b) =>
    b.estimatedLaeqDba.expected > a.estimatedLaeqDba.expected ? b : a,
  ).estimatedLaeqDba;
  const dose = Math.max(...manifest.steps.map(step => step.weeklyDosePercent.intended));
  const lines = [
    fillIn(guide.estimate, {
      expected: Math.round(loudest.expected),
      low: Math.round(loudest.low),
      high: Math.round(loudest.high),
      dose: shareInWords(texts.language, texts.words, dose),
    }),
  ];
  const { raisedBy } = manifest.ceiling;
  if (raisedBy !== null) {
    lines.push(
      fillIn(guide.raised, {
        name: inOwnDirection(raisedBy.name, texts),
        date: dayInWords(texts.language, raisedBy.date, 'long'),
        reason: inOwnDirection(raisedBy.reason, texts),
      }),
    );
  }
  return stack(
    lines.map(line => paragraph(press, line, small(press))),
    3,
  );
}
