/**
 * The page's pictures: drawn for it, as vectors in the markup, in the text's own colour. They only
 * repeat what words say, so screen readers skip them.
 *
 * @module
 */
import { type KitMark, SYMBOLS } from '../words/kit-symbol.js';
import { BARS, HILLS } from '../words/drawn-sound.js';
import { Html, html } from '../../formats/html.js';

const icon = (shapes: string): Html =>
  new Html(
    `<svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false" fill="none" stroke="currentColor" stroke-width="1.8" stroke-linecap="round" stroke-linejoin="round">${shapes}</svg>`,
  );

/** A kit's symbol on its colour. Its name is for readers who do not see it. */
export const markIcon = ({ symbol, colour }: KitMark, name: string): Html =>
  html`<svg class="mark" viewBox="0 0 40 40" role="img" aria-label="${name}">
    <circle cx="20" cy="20" r="20" fill="${colour}" />
    <path transform="translate(8 8)" fill="#1b1e36" d="${SYMBOLS[symbol]}" />
  </svg>`;

/** One face for each answer of a child who points; `mouth` is a path from corner to corner. */
const face = (mouth: string, eyes: string): Html =>
  new Html(
    `<svg class="face" viewBox="0 0 64 64" aria-hidden="true" focusable="false" fill="none" stroke="currentColor" stroke-width="3.5" stroke-linecap="round"><circle cx="32" cy="32" r="27"/>${eyes}<path d="${mouth}"/></svg>`,
  );

const OPEN_EYES = '<path d="M22 24v5M42 24v5"/>';

export const ICONS = {
  phone: icon('<rect x="7" y="2.5" width="10" height="19" rx="2.2"/><path d="M11 18.5h2"/>'),
  computer: icon('<rect x="4" y="4.5" width="16" height="11" rx="1.6"/><path d="M2 19.5h20"/>'),
  speaker: icon(
    '<rect x="6" y="2.5" width="12" height="19" rx="2.2"/><circle cx="12" cy="14.5" r="3.6"/><path d="M12 6.5h.01"/>',
  ),
  television: icon(
    '<rect x="2.5" y="4.5" width="19" height="12.5" rx="1.8"/><path d="M8 20.5h8"/>',
  ),
  headphones: icon(
    '<path d="M4 15v-2a8 8 0 0 1 16 0v2"/><rect x="2.8" y="14.5" width="4.4" height="6.5" rx="1.8"/><rect x="16.8" y="14.5" width="4.4" height="6.5" rx="1.8"/>',
  ),
  play: icon('<path d="M8 5.2v13.6L19 12z" fill="currentColor"/>'),
  hand: icon(
    '<path d="M7.5 12.5V6.2a1.4 1.4 0 0 1 2.8 0V11m0-6.3a1.4 1.4 0 0 1 2.8 0V11m0-5.2a1.4 1.4 0 0 1 2.8 0v6m0-3.4a1.4 1.4 0 0 1 2.8 0v6.1c0 4-2.6 7-6.3 7-3.2 0-4.6-1.5-6.1-4.3L4.3 13.6a1.5 1.5 0 0 1 2.5-1.6z"/>',
  ),
  book: icon(
    '<path d="M4 5.2c2.6-.9 5.4-.7 8 .8v14c-2.6-1.5-5.4-1.7-8-.8zM20 5.2c-2.6-.9-5.4-.7-8 .8v14c2.6-1.5 5.4-1.7 8-.8z"/>',
  ),
  list: icon('<path d="M8.5 6h11M8.5 12h11M8.5 18h11M4.5 6h.01M4.5 12h.01M4.5 18h.01"/>'),
  home: icon('<path d="M4 11.2 12 4l8 7.2V20h-5.5v-5h-5v5H4z"/>'),
} as const;

export const FACES = {
  fine: face('M19 39c3.5 6.5 8 9.5 13 9.5S41.500 45.500 45 39', OPEN_EYES),
  some: face('M21 44h22', OPEN_EYES),
  much: face(
    'M19 48c3.500-6.500 8-9.500 13-9.500s9.500 3 13 9.500',
    '<path d="m19 25 6 3M45 25l-6 3"/>',
  ),
} as const;

const MOON_DISC =
  '<circle class="moon-glow" cx="100" cy="100" r="96"/><circle class="moon-disc" cx="100" cy="100" r="84"/>' +
  '<g class="moon-seas"><circle cx="74" cy="78" r="17"/><circle cx="122" cy="66" r="10"/><circle cx="116" cy="118" r="22"/><circle cx="72" cy="134" r="9"/></g>';

const moon = (before: string, after: string): Html =>
  new Html(
    `<svg class="moon" viewBox="0 0 200 200" aria-hidden="true" focusable="false">${before}${MOON_DISC}${after}</svg>`,
  );

/** The moon when a step is done. */
export const FULL_MOON = moon('', '');

/**
 * The moon that fills while a step plays: a bright disc, and a shadow that the script slides away
 * over it.
 */
export const FILLING_MOON = moon(
  '<defs><clipPath id="disc"><circle cx="100" cy="100" r="84"/></clipPath></defs>',
  '<g clip-path="url(#disc)"><circle id="moon-shadow" class="moon-shadow" cx="100" cy="100" r="86"/></g>',
);

/** The drawing of a sound, for the script to fill in: bars, hills and a moon. */
export const LOOKS_DRAWING = new Html(
  `<template id="looks-drawing">` +
    `<svg class="bars" viewBox="0 0 ${BARS.width} ${BARS.height}" aria-hidden="true" focusable="false"><path/></svg>` +
    `<svg class="hills" viewBox="0 0 ${HILLS.width} ${HILLS.height}" aria-hidden="true" focusable="false"><path/><circle r="${HILLS.moon}"/></svg>` +
    `</template>`,
);

/** Hills at night with one lit window: the bottom of every screen. */
export const NIGHT_SCENE = new Html(
  '<svg class="scene" viewBox="0 0 1440 340" preserveAspectRatio="xMidYMax slice" aria-hidden="true" focusable="false">' +
    '<path class="hill-far" d="M0 150c180-70 330-78 500-34s300 60 470 10 330-60 470-16v230H0z"/>' +
    '<path class="hill-near" d="M0 206c220-54 420-54 640-14s520 40 800-22v170H0z"/>' +
    '<path class="house" d="M706 190v-34l26-22 26 22v34z"/><rect class="window" x="724" y="160" width="16" height="16" rx="2"/></svg>',
);
