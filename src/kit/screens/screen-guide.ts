/**
 * The guide inside the page: the same words as on paper, to read at any time, and all that is left
 * when a viewer does not run the script.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import { practiceFromSteps } from '../words/step-words.js';
import { estimateInWords, raisedInWords } from '../words/loudness-notes.js';
import { fillIn, type Texts } from '../words/texts.js';
import { html, type Html } from '../../formats/html.js';
import { contactCard, points, screen, stepsList } from './parts.js';

export function guideScreen(content: KitContent, texts: Texts): Html {
  const { about, cautions, common, practice, ready, stopping, volume, page } = texts.words;
  const raised = raisedInWords(content, texts);
  const fromSteps = practiceFromSteps(content, texts);
  return screen(
    'guide',
    page.guide,
    html`<h2>${about.title}</h2>
      ${points(about.lines)}
      <p>${about.benefit}</p>
      <h2>${cautions.title}</h2>
      <p>${cautions.intro}</p>
      ${points(cautions.items)}
      <h2>${cautions.neverTitle}</h2>
      ${points(cautions.never)}
      <h2>${cautions.safetyTitle}</h2>
      ${points(cautions.safety)}
      <h2>${ready.title}</h2>
      ${points(ready.items)}
      <h2>${volume.title}</h2>
      ${stepsList(volume.steps)}
      <p>${volume.keep}</p>
      <h2>${practice.title}</h2>
      ${stepsList(practice.steps)} ${fromSteps.length === 0 ? '' : points(fromSteps)}
      <p>${practice.missed}</p>
      <h2>${stopping.title}</h2>
      <p>${stopping.nowTitle}</p>
      ${points(stopping.now)}
      <p>${stopping.after}</p>
      <p>${stopping.callTitle}</p>
      ${points(stopping.call)}
      <p class="notice">${stopping.emergency}</p>
      <p>${estimateInWords(content, texts)}</p>
      ${raised === undefined ? '' : html`<p class="notice">${raised}</p>`}
      ${content.guideNote === undefined ? '' : html`<p><bdi>${content.guideNote}</bdi></p>`}
      ${
        content.manifest.approval === null
          ? ''
          : html`<p class="aside">
              ${fillIn(common.approved, { reference: content.manifest.approval })}
            </p>`
      }
      <h2>${common.callUs}</h2>
      ${contactCard(content, texts)}`,
    html`<button data-do="back">${page.back}</button>`,
    'shown',
  );
}
