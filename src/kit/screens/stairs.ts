/**
 * The way up as a picture: one bar per step, as high as it is loud, with a line where ordinary talk
 * is. It goes up the way the language reads. The script marks today's bar.
 *
 * @module
 */
import type { StepInWords } from '../words/step-words.js';
import type { Texts } from '../words/texts.js';
import { html, type Html } from '../../formats/html.js';

/** Size of the drawing, in its own units. */
const WIDTH = 320;
const HEIGHT = 112;

/** Level at the foot of the picture, in dB re the voice reference: below any plan's first step. */
const FLOOR_DB = -28;

/** Level at its top: above any ceiling that the limits allow. */
const TOP_DB = 16;

/** Most of a bar's place that the bar takes. */
const BAR_SHARE = 0.72;

export function stairs(steps: readonly StepInWords[], { direction, words: { page } }: Texts): Html {
  const place = WIDTH / steps.length;
  const talkY = heightAt(0);
  return html`<svg
    class="stairs"
    viewBox="0 0 ${WIDTH} ${HEIGHT}"
    role="img"
    aria-label="${page.stairs}"
  >
    ${steps.map((step, index) => {
      const top = heightAt(step.offsetDb);
      const column = direction === 'rtl' ? steps.length - 1 - index : index;
      return html`<rect
        data-step="${step.number}"
        x="${round(place * (column + (1 - BAR_SHARE) / 2))}"
        y="${round(top)}"
        width="${round(place * BAR_SHARE)}"
        height="${round(HEIGHT - top)}"
        rx="2"
      />`;
    })}
    <line x1="0" x2="${WIDTH}" y1="${round(talkY)}" y2="${round(talkY)}" />
    <text x="${direction === 'rtl' ? WIDTH - 4 : 4}" y="${round(talkY - 7)}">${page.talkLine}</text>
  </svg>`;
}

const heightAt = (offsetDb: number): number =>
  HEIGHT *
  (1 - (Math.min(TOP_DB, Math.max(FLOOR_DB + 3, offsetDb)) - FLOOR_DB) / (TOP_DB - FLOOR_DB));

const round = (value: number): number => Math.round(value * 100) / 100;
