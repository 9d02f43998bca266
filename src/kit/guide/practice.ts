/**
 * Middle of the guide: the volume, each practice, when to stop.
 *
 * @module
 */
import type { Texts } from '../texts.js';
import { boxed, paragraph, sideBySide, stack } from './blocks.js';
import {
  BODY,
  DUSK,
  PALE,
  points,
  section,
  SECTION_GAP,
  steps,
  subsection,
  words,
} from './look.js';
import type { Paper } from './paper.js';

export function practice(paper: Paper, texts: Texts): void {
  const { press } = paper;
  const { practice: each, stopping, volume } = texts.words;
  paper.place(section(press, volume.title), steps(press, volume.steps));
  paper.space(3);
  paper.place(paragraph(press, volume.keep, { ...BODY, bold: true }));
  paper.space(SECTION_GAP);
  paper.place(section(press, each.title), steps(press, each.steps));
  paper.space(3);
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
          paragraph(press, stopping.emergency, { ...BODY, bold: true }),
        ],
        5,
      ),
      { fill: PALE, line: DUSK, padding: 11 },
    ),
  );
}
