/**
 * Middle of the guide: the volume, each practice, when to stop, how loud it gets.
 *
 * @module
 */
import type { KitContent } from '../../content.js';
import { practiceFromSteps } from '../../words/step-words.js';
import { estimateInWords, raisedInWords } from '../../words/loudness-notes.js';
import { inOwnDirection } from '../../words/isolate-direction.js';
import type { Texts } from '../../words/texts.js';
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
  const fromSteps = practiceFromSteps(content, texts);
  if (fromSteps.length > 0) {
    paper.place(points(press, fromSteps));
    paper.space(3);
  }
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

/** How loud it gets, and by whose leave if that is louder than usual. */
function estimate(press: Press, content: KitContent, texts: Texts): Flow {
  const raised = raisedInWords(content, texts);
  const lines = [estimateInWords(content, texts), ...(raised === undefined ? [] : [raised])];
  return stack(
    lines.map(line => paragraph(press, line, small(press))),
    3,
  );
}
