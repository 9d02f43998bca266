/**
 * Start of the guide: what this is, who should ask first, whom to call, getting ready.
 *
 * @module
 */
import type { KitContent } from '../../content.js';
import { inOwnDirection } from '../../words/isolate-direction.js';
import type { Texts } from '../../words/texts.js';
import { contactLine } from './contact-line.js';
import {
  boxed,
  decoration,
  paragraph,
  sideBySide,
  stack,
  type Block,
  type Flow,
  type Press,
} from './blocks.js';
import {
  bold,
  DUSK,
  PALE,
  points,
  section,
  SECTION_GAP,
  subsection,
  title,
  words,
} from './look.js';
import type { Paper } from './paper.js';

/** Size of the moon beside the title. */
const MOON = 62;

export function beginning(paper: Paper, content: KitContent, texts: Texts): void {
  const { press } = paper;
  const { about, cautions, common, page, ready } = texts.words;
  paper.place(
    sideBySide(
      press,
      stack(
        [title(press, common.title), words(press, inOwnDirection(content.manifest.study, texts))],
        2,
      ),
      moon(press),
      0.86,
      10,
    ),
  );
  paper.space(6);
  if (content.manifest.sessions.length === 0) {
    const stop = paragraph(press, page.practiceStopped, bold(press));
    paper.place(boxed(press, stop, { fill: PALE, line: DUSK, padding: 11 }));
    paper.space(6);
  }
  paper.place(section(press, about.title), points(press, [...about.lines, about.benefit]));
  paper.space(SECTION_GAP);
  paper.place(
    boxed(
      press,
      stack(
        [
          section(press, cautions.title),
          words(press, cautions.intro),
          sideBySide(
            press,
            points(press, cautions.items),
            stack(
              [
                subsection(press, cautions.neverTitle),
                points(press, cautions.never),
                subsection(press, cautions.safetyTitle),
                points(press, cautions.safety),
              ],
              3,
            ),
            0.53,
            14,
          ),
          paragraph(press, contactLine(content, texts), bold(press)),
        ],
        3,
      ),
      { fill: PALE, line: DUSK, padding: 11 },
    ),
  );
  paper.space(SECTION_GAP);
  const half = Math.ceil(ready.items.length / 2);
  paper.place(
    section(press, ready.title),
    sideBySide(
      press,
      points(press, ready.items.slice(0, half)),
      points(press, ready.items.slice(half)),
      0.5,
      16,
    ),
  );
}

/** A moon, three quarters full: the same as on the page. */
const moon =
  (press: Press): Flow =>
  (width): Block => ({
    height: MOON,
    draw: (x, y) => {
      const radius = MOON / 2 - 3;
      const centre = {
        x: press.setter.direction === 'rtl' ? x + radius : x + width - radius,
        y: y + MOON / 2,
      };
      decoration(press, () => {
        press.doc.circle(centre.x, centre.y, radius).fill('#dcdeea');
        for (const [dx, dy, r] of [
          [-0.3, -0.27, 0.2],
          [0.26, -0.4, 0.12],
          [0.19, 0.21, 0.26],
          [-0.33, 0.4, 0.11],
        ] as const) {
          press.doc
            .circle(centre.x + dx * radius, centre.y + dy * radius, r * radius)
            .fill('#c3c6da');
        }
        press.doc.circle(centre.x, centre.y, radius).lineWidth(1.4).stroke(DUSK);
      });
    },
  });
