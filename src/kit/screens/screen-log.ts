/**
 * The log in the page: a table that prints, the file to send, and the code to read out.
 *
 * @module
 */
import type { ChildMark } from '../words/rating-scale.js';
import type { Texts } from '../words/texts.js';
import { html, type Html } from '../../formats/html.js';
import { screen } from './parts.js';

export function logScreen({ words: { log, page } }: Texts, childMark: ChildMark): Html {
  const columns = [
    log.date,
    log.step,
    log.ended,
    ...(childMark === 'none' ? [] : [log.child]),
    log.parent,
    log.seen,
  ];
  return screen(
    'log',
    log.title,
    html`<p id="log-empty">${log.empty}</p>
      <div id="log-full">
        <p class="notice" id="log-lasting" hidden>${log.lasting}</p>
        <div class="wide" tabindex="0" role="region" aria-labelledby="title-log">
          <table>
            <thead>
              <tr>
                ${columns.map(title => html`<th scope="col">${title}</th>`)}
              </tr>
            </thead>
            <tbody id="log-rows"></tbody>
          </table>
        </div>
        <div class="pair not-printed">
          <button data-do="download">${log.save}</button
          ><button data-do="print">${log.print}</button>
        </div>
        <p class="aside not-printed">${log.saveHint}</p>
        <h2>${log.codeTitle}</h2>
        <p>${log.codeLead}</p>
        <ol class="code" id="log-code" dir="ltr"></ol>
      </div>`,
    html`<button data-do="back">${page.back}</button>`,
  );
}
