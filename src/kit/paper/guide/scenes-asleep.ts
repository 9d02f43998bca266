/**
 * The scenes of the picture card for a child who is scanned asleep: one night, for a parent who does
 * not read. Drawn as the others are; the crib is seen from above.
 *
 * @module
 */
import type { Pdf } from './blocks.js';
import { cross, GREY, INK, LIGHT, moon, type Scene, speaker, waves, WHITE } from './scenes.js';

export const ASLEEP_SCENES: readonly Scene[] = [
  {
    alt: ({ asleep }) => asleep.pictureVolume,
    draw: doc => {
      parent(doc, 46, 118);
      speaker(doc, 158, 40);
      waves(doc, INK, { x: 148, y: 66 });
      crib(doc, { x: 104, y: 156, scale: 0.44, lying: true }, 'empty');
    },
  },
  {
    alt: ({ asleep }) => asleep.pictureBack,
    draw: doc => {
      crib(doc, { x: 100, y: 100 }, 'asleep');
    },
  },
  {
    alt: ({ asleep }) => asleep.pictureWait,
    draw: doc => {
      crib(doc, { x: 54, y: 100, scale: 0.78 }, 'asleep');
      clock(doc, 150, 100, 38);
    },
  },
  {
    alt: ({ asleep }) => asleep.pictureFar,
    draw: doc => {
      crib(doc, { x: 40, y: 88, scale: 0.58 }, 'asleep');
      speaker(doc, 166, 60);
      waves(doc, GREY, { x: 158, y: 88 });
      // Two big steps between the two.
      doc.moveTo(76, 158).lineTo(164, 158).dash(6, { space: 6 }).stroke(INK).undash();
      for (const x of [76, 120, 164]) doc.moveTo(x, 151).lineTo(x, 165).stroke();
    },
  },
  {
    alt: ({ asleep }) => asleep.pictureWake,
    draw: doc => {
      crib(doc, { x: 54, y: 100, scale: 0.78 }, 'awake');
      speaker(doc, 164, 70);
      waves(doc, GREY, { x: 154, y: 98 });
      cross(doc, 142, 98);
    },
  },
  {
    alt: ({ asleep }) => asleep.pictureEnd,
    draw: doc => {
      moon(doc, 154, 60, 38, 1);
      crib(doc, { x: 54, y: 100, scale: 0.78 }, 'asleep');
    },
  },
];

interface Place {
  readonly x: number;
  readonly y: number;
  readonly scale?: number;
  /** Turned by a quarter. */
  readonly lying?: boolean;
}

/** A crib from above, with nothing in it but the child: 116 wide and 180 high, around its middle. */
function crib(
  doc: Pdf,
  { x, y, scale = 1, lying = false }: Place,
  who: 'empty' | 'asleep' | 'awake',
): void {
  doc.save();
  doc.translate(x, y).scale(scale);
  if (lying) doc.rotate(90);
  doc.roundedRect(-58, -90, 116, 180, 12).fillAndStroke(GREY, INK);
  doc.roundedRect(-46, -78, 92, 156, 8).fillAndStroke(WHITE, INK);
  if (who !== 'empty') onTheBack(doc, who);
  doc.restore();
}

/** A child on its back: the face is seen, the arms lie beside the head. */
function onTheBack(doc: Pdf, who: 'asleep' | 'awake'): void {
  for (const side of [-1, 1]) {
    doc.moveTo(side * 16, -8).quadraticCurveTo(side * 36, -10, side * 34, -32);
    doc.lineWidth(9).stroke(INK).lineWidth(4);
    doc.circle(side * 34, -36, 6).fillAndStroke(WHITE, INK);
  }
  doc.moveTo(-20, -14).quadraticCurveTo(-30, 62, 0, 64).quadraticCurveTo(30, 62, 20, -14);
  doc.closePath().fillAndStroke(LIGHT, INK);
  doc.circle(0, -36, 24).fillAndStroke(WHITE, INK);
  doc.moveTo(-4, -58).quadraticCurveTo(4, -54, 5, -48).stroke(INK);
  if (who === 'asleep') {
    for (const eye of [-9, 9]) {
      doc
        .moveTo(eye - 5, -37)
        .quadraticCurveTo(eye, -32, eye + 5, -37)
        .stroke();
    }
    doc.moveTo(-4, -23).quadraticCurveTo(0, -20, 4, -23).stroke();
  } else {
    for (const eye of [-9, 9]) doc.circle(eye, -38, 3).fill(INK);
    doc.ellipse(0, -23, 5, 4).stroke(INK);
  }
}

/** A parent who talks, from the waist up. `base` is where they end below. */
function parent(doc: Pdf, x: number, base: number): void {
  doc.save();
  doc.translate(x, base);
  doc.moveTo(-34, 0).quadraticCurveTo(-32, -44, 0, -46).quadraticCurveTo(32, -44, 34, 0);
  doc.fillAndStroke(LIGHT, INK);
  doc.circle(0, -68, 22).fillAndStroke(WHITE, INK);
  doc.moveTo(-22, -66).quadraticCurveTo(-18, -94, 4, -91).quadraticCurveTo(24, -88, 22, -66);
  doc.stroke();
  for (const eye of [-7, 8]) doc.circle(eye, -68, 2.4).fill(INK);
  doc.ellipse(2, -56, 5, 3.5).stroke(INK);
  // What is said: as loud as the speaker.
  for (const reach of [0, 10, 20]) {
    const half = 9 + 0.6 * reach;
    doc
      .moveTo(30 + reach, -58 - half)
      .quadraticCurveTo(37 + reach, -58, 30 + reach, -58 + half)
      .stroke();
  }
  doc.restore();
}

/**
 * A clock on which 20 minutes are marked, from ten before the hour to ten past: the card may be turned
 * round, and this reads the same both ways.
 */
function clock(doc: Pdf, x: number, y: number, radius: number): void {
  const across = radius * Math.sin(Math.PI / 3);
  const up = radius * Math.cos(Math.PI / 3);
  doc.circle(x, y, radius).fill(WHITE);
  doc
    .path(`M${x} ${y}L${x - across} ${y - up}A${radius} ${radius} 0 0 1 ${x + across} ${y - up}Z`)
    .fillAndStroke(GREY, INK);
  doc.circle(x, y, radius).stroke(INK);
  for (let hour = 0; hour < 12; hour++) {
    const angle = (hour * Math.PI) / 6;
    const [dx, dy] = [Math.sin(angle), -Math.cos(angle)];
    doc
      .moveTo(x + 0.86 * radius * dx, y + 0.86 * radius * dy)
      .lineTo(x + 0.94 * radius * dx, y + 0.94 * radius * dy)
      .stroke();
  }
  doc.circle(x, y, 3).fill(INK);
}
