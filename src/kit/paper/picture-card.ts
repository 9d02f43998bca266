/**
 * A card of pictures only, for who does not read: what happens in a practice, or in a night, in six frames.
 * The order goes with the direction of the language. The words are there for screen readers alone.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import type { DocumentFonts } from './document-fonts.js';
import { type Press, type Structure } from './guide/blocks.js';
import { documentInfo } from './guide/document-info.js';
import { Paper } from './guide/paper.js';
import { ASLEEP_SCENES } from './guide/scenes-asleep.js';
import { SCENES, type Scene } from './guide/scenes.js';
import { isAsleep } from '../words/texts-for.js';
import type { Texts } from '../words/texts.js';

/** Frames side by side, and below one another. */
const COLUMNS = 2;
const ROWS = 3;

/** Space between frames, in points. */
const GAP = 16;

/** `picture-card.pdf`. */
export function renderPictureCard(
  content: KitContent,
  texts: Texts,
  fonts: DocumentFonts,
): Promise<Uint8Array> {
  const { cards } = texts.words;
  const scenes = isAsleep(content.manifest) ? ASLEEP_SCENES : SCENES;
  const paper = new Paper(documentInfo(content, texts, cards.pictureTitle), fonts);
  paper.place(width => {
    const height = paper.left;
    return {
      height,
      draw: (x, y, parent) => {
        const frameWidth = (width - GAP) / COLUMNS;
        const frameHeight = (height - (ROWS - 1) * GAP) / ROWS;
        for (const [index, { alt, draw }] of scenes.entries()) {
          const column = index % COLUMNS;
          const place = texts.direction === 'rtl' ? COLUMNS - 1 - column : column;
          const frame = {
            x: x + place * (frameWidth + GAP),
            y: y + Math.floor(index / COLUMNS) * (frameHeight + GAP),
            width: frameWidth,
            height: frameHeight,
          };
          drawFigure(paper.press, parent, alt(texts.words), frame, draw);
        }
      },
    };
  });
  return paper.finish();
}

interface Frame {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Size of the square in which scenes are drawn. */
const SCENE_SIZE = 200;

function drawFigure(
  { doc, setter }: Press,
  parent: Structure,
  alt: string,
  frame: Frame,
  draw: Scene['draw'],
): void {
  const { x, y, width, height } = frame;
  const content = doc.markStructureContent('Figure');
  doc.roundedRect(x, y, width, height, 14).lineWidth(1.5).stroke('#232852');
  const scale = (0.92 * Math.min(width, height)) / SCENE_SIZE;
  const left = x + (width - scale * SCENE_SIZE) / 2;
  const top = y + (height - scale * SCENE_SIZE) / 2;
  doc.save();
  // What happens one after the other goes the way the language reads.
  if (setter.direction === 'rtl')
    doc.translate(left + scale * SCENE_SIZE, top).scale(-scale, scale);
  else doc.translate(left, top).scale(scale);
  doc.lineWidth(4).lineCap('round').lineJoin('round').strokeColor('#1b1e36');
  draw(doc);
  doc.restore();
  doc.endMarkedContent();
  // The library's type declarations leave `bbox` out.
  const options: object = { alt, bbox: [x, y, x + width, y + height] };
  parent.add(doc.struct('Figure', options, [content]));
}
