/**
 * The scenes of the picture card, drawn in a square of 200: dark lines and light greys, so that they
 * print anywhere and can be coloured in.
 *
 * @module
 */
import { SYMBOLS } from '../../words/kit-symbol.js';
import type { Words } from '../../words/texts-shape.js';
import type { Pdf } from './blocks.js';

export interface Scene {
  /** What it shows, for who cannot see it. */
  readonly alt: (words: Words) => string;
  readonly draw: (doc: Pdf) => void;
}

export const INK = '#1b1e36';
export const LIGHT = '#eff0f7';
export const GREY = '#c9cbdc';
export const WHITE = '#ffffff';

/** A practice of a child who is awake. */
export const SCENES: readonly Scene[] = [
  {
    alt: ({ cards }) => cards.pictureSit,
    draw: doc => {
      atTable(doc, 'drawing');
      // One big step between the two.
      doc.moveTo(70, 186).lineTo(148, 186).dash(6, { space: 6 }).stroke().undash();
      for (const x of [70, 148]) doc.moveTo(x, 180).lineTo(x, 192).stroke();
    },
  },
  {
    alt: ({ cards }) => cards.pictureListen,
    draw: doc => {
      atTable(doc, 'drawing');
      waves(doc, INK);
    },
  },
  {
    alt: ({ cards }) => cards.pictureStop,
    draw: doc => {
      atTable(doc, 'hand up');
      waves(doc, GREY);
      cross(doc, 129, 92);
    },
  },
  {
    alt: ({ cards }) => cards.pictureMoon,
    draw: doc => {
      moon(doc, 45, 100, 30, 0.15);
      moon(doc, 104, 100, 30, 0.5);
      moon(doc, 163, 100, 30, 0.8);
      doc.moveTo(30, 160).lineTo(170, 160).stroke();
      doc.moveTo(156, 150).lineTo(170, 160).lineTo(156, 170).stroke();
    },
  },
  {
    alt: ({ cards }) => cards.pictureEnd,
    draw: doc => {
      moon(doc, 100, 84, 56, 1);
      child(doc, 100, 'hands up', 0.62, 174);
    },
  },
  {
    alt: ({ cards }) => cards.pictureSticker,
    draw: doc => {
      doc.circle(100, 100, 70).dash(7, { space: 7 }).stroke().undash();
      doc.save();
      doc.translate(46, 44).scale(4.5);
      doc.path(SYMBOLS.star).lineWidth(0.9).fillAndStroke(GREY, INK);
      doc.restore();
    },
  },
];

/** A child at one end of a table, a speaker at the other. */
function atTable(doc: Pdf, doing: Doing): void {
  doc.rect(20, 124, 166, 10).fillAndStroke(GREY, INK);
  doc.moveTo(34, 134).lineTo(34, 172).moveTo(172, 134).lineTo(172, 172).stroke();
  speaker(doc, 150, 68);
  child(doc, 56, doing);
}

/** @param x - Its left edge; `y`: its top. It is 28 wide and 56 high. */
export function speaker(doc: Pdf, x: number, y: number): void {
  doc.roundedRect(x, y, 28, 56, 5).fillAndStroke(LIGHT, INK);
  doc.circle(x + 14, y + 36, 9).fillAndStroke(WHITE, INK);
  doc.circle(x + 14, y + 14, 3).fill(INK);
}

/** Sound on its way from the speaker to the child. */
export function waves(doc: Pdf, colour: string, { x: from, y } = { x: 140, y: 92 }): void {
  for (const reach of [0, 10, 20]) {
    const x = from - reach;
    const half = 9 + 0.6 * reach;
    doc
      .moveTo(x, y - half)
      .quadraticCurveTo(x - 7, y, x, y + half)
      .stroke(colour);
  }
}

/** Crosses out what is there. */
export function cross(doc: Pdf, x: number, y: number): void {
  doc.save().lineWidth(6).strokeColor(INK);
  doc.moveTo(x - 17, y - 20).lineTo(x + 17, y + 20);
  doc.moveTo(x + 17, y - 20).lineTo(x - 17, y + 20);
  doc.stroke().restore();
}

type Doing = 'drawing' | 'hand up' | 'hands up';

/** A child from the waist up. `base` is where it ends below. */
function child(doc: Pdf, x: number, doing: Doing, scale = 1, base = 124): void {
  doc.save();
  doc.translate(x, base).scale(scale);
  doc.moveTo(-26, 0).quadraticCurveTo(-24, -38, 0, -40).quadraticCurveTo(24, -38, 26, 0);
  doc.fillAndStroke(LIGHT, INK);
  doc.circle(0, -62, 23).fillAndStroke(WHITE, INK);
  doc
    .moveTo(-22, -68)
    .quadraticCurveTo(-10, -92, 8, -84)
    .quadraticCurveTo(24, -80, 22, -66)
    .stroke();
  for (const eye of [-8, 8]) doc.circle(eye, -62, 2.4).fill(INK);
  doc.moveTo(-8, -52).quadraticCurveTo(0, -45, 8, -52).stroke();
  if (doing === 'drawing') {
    doc.moveTo(18, -24).quadraticCurveTo(34, -20, 38, -6).stroke();
    doc.moveTo(36, -4).lineTo(46, -20).stroke();
  } else {
    raisedArm(doc, -1);
    if (doing === 'hands up') raisedArm(doc, 1);
  }
  doc.restore();
}

function raisedArm(doc: Pdf, side: 1 | -1): void {
  doc
    .moveTo(side * 22, -24)
    .quadraticCurveTo(side * 40, -40, side * 40, -72)
    .stroke();
  doc.circle(side * 40, -80, 9).fillAndStroke(WHITE, INK);
  for (const finger of [-6, 0, 6]) {
    doc
      .moveTo(side * 40 + finger, -88)
      .lineTo(side * 40 + finger * 1.3, -98)
      .stroke();
  }
}

/** A moon of which `share` is bright. */
export function moon(doc: Pdf, x: number, y: number, radius: number, share: number): void {
  doc.save();
  doc.circle(x, y, radius).clip();
  doc.circle(x, y, radius).fill(WHITE);
  doc.circle(x - 0.3 * radius, y - 0.25 * radius, 0.2 * radius).fill(GREY);
  doc.circle(x + 0.2 * radius, y + 0.25 * radius, 0.27 * radius).fill(GREY);
  if (share < 1) doc.circle(x + 2 * share * radius, y, radius * 1.02).fill('#3a3f66');
  doc.restore();
  doc.circle(x, y, radius).stroke(INK);
}
