/**
 * The sounds of the scan day in order, each with its length and its picture.
 *
 * @module
 */
import type { KitContent } from '../../content.js';
import { BARS, drawnSound, HILLS, soundInWords } from '../../words/drawn-sound.js';
import { inOwnDirection } from '../../words/isolate-direction.js';
import type { SoundPicture } from '../../audio/sound-picture.js';
import { lengthInWords } from '../../words/texts-words.js';
import { fillIn, type Texts } from '../../words/texts.js';
import { type Asides, type Flow, list, type Press, sideBySide } from './blocks.js';
import { DUSK, small } from './look.js';

/** Size of a picture's drawing on paper, in points per unit. */
const SCALE = 0.62;

/** Space before a picture, and between its parts, in points. */
const GAP = 6;

const PICTURE_WIDTH = SCALE * (BARS.width + HILLS.width) + 2 * GAP;

/** In two columns, numbered through. */
export function scanOrder(press: Press, { protocol, manifest }: KitContent, texts: Texts): Flow {
  const pictures = new Map(manifest.pictures.map(picture => [picture.scan, picture]));
  const column = (start: number, end: number): Flow => {
    const scans = protocol.slice(start, end);
    const names = scans.map(scan =>
      fillIn(texts.words.common.pair, {
        first: inOwnDirection(scan.plainName, texts),
        second: lengthInWords(texts.language, scan.durationSeconds, 'short'),
      }),
    );
    const flows = scans.map(({ name }) => looks(press, pictures.get(name), texts));
    const asides: Asides = {
      width: manifest.pictures.length === 0 ? 0 : PICTURE_WIDTH,
      flows,
    };
    return list(press, names, small(press), 'numbers', start + 1, asides);
  };
  const { length } = protocol;
  const half = Math.ceil(length / 2);
  return length < 2
    ? column(0, length)
    : sideBySide(press, column(0, half), column(half, length), 0.5, 16);
}

/** A sound's picture; empty where there is none. */
const looks =
  ({ doc }: Press, picture: SoundPicture | undefined, texts: Texts): Flow =>
  width => {
    const height = SCALE * BARS.height + 2;
    if (picture === undefined) return { height: 0, draw: () => undefined };
    const { bars, hills, moon } = drawnSound(picture);
    return {
      height,
      draw: (x, y, parent) => {
        const content = doc.markStructureContent('Figure');
        doc
          .save()
          .translate(x + GAP, y)
          .scale(SCALE);
        doc.path(bars).lineWidth(BARS.line).lineCap('round').stroke(DUSK);
        doc.translate(BARS.width + GAP / SCALE, 0);
        doc.path(hills).fill('#9aa2c4');
        doc.circle(moon.x, moon.y, HILLS.moon).lineWidth(0.8).stroke(DUSK);
        doc.restore();
        doc.endMarkedContent();
        // The library's type declarations leave `bbox` out.
        const options: object = {
          alt: soundInWords(picture, texts),
          bbox: [x, y, x + width, y + height],
        };
        parent.add(doc.struct('Figure', options, [content]));
      },
    };
  };
