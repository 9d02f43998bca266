/**
 * The page's screens up to the moment before the sound: welcome, cautions, speaker, volume, today's
 * step, asking the child.
 *
 * A button names the screen it leads to in `data-go`, or what it does in `data-do`; the script reads
 * both.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import { stepsInWords } from '../words/step-words.js';
import { raisedInWords } from '../words/loudness-notes.js';
import { isAsleep } from '../words/texts-for.js';
import type { Texts } from '../words/texts.js';
import { html, type Html } from '../../formats/html.js';
import { ICONS } from './icons.js';
import { contactCard, points, screen, stepsList } from './parts.js';
import { stairs } from './stairs.js';

/** In the order in which a family meets them. */
export function screensBefore(content: KitContent, texts: Texts): readonly Html[] {
  return [
    welcome(content, texts),
    cautions(texts),
    askFirst(content, texts),
    speaker(texts),
    ready(texts),
    volume(content, texts),
    today(content, texts),
    isAsleep(content.manifest) ? askParent(texts) : askChild(texts),
  ];
}

function welcome({ manifest }: KitContent, { words }: Texts): Html {
  return screen(
    'welcome',
    words.common.title,
    html`<p class="study"><bdi>${manifest.study}</bdi></p>
      <ul class="plain">
        ${words.page.welcomeLines.map(line => html`<li>${line}</li>`)}
      </ul>
      <p class="aside">${words.about.benefit}</p>`,
    html`<button class="main" data-go="cautions">${words.page.begin}</button>`,
  );
}

function cautions({ words }: Texts): Html {
  return screen(
    'cautions',
    words.cautions.title,
    html`<p>${words.cautions.intro}</p>
      ${points(words.cautions.items)}
      <h2>${words.cautions.neverTitle}</h2>
      ${points(words.cautions.never)}
      <h2>${words.cautions.safetyTitle}</h2>
      ${points(words.cautions.safety)}`,
    html`<button class="main" data-go="speaker">${words.page.cautionsNone}</button
      ><button data-go="ask-first">${words.page.cautionsSome}</button>`,
  );
}

function askFirst(content: KitContent, texts: Texts): Html {
  const { page } = texts.words;
  return screen(
    'ask-first',
    page.askFirstTitle,
    html`<p>${page.askFirst}</p>
      ${contactCard(content, texts)}`,
    html`<button data-go="cautions">${page.back}</button>`,
  );
}

function speaker({ words: { page } }: Texts): Html {
  const choice = (kind: string, picture: Html, label: string): Html =>
    html`<button class="choice" data-do="speaker" data-speaker="${kind}">
      ${picture}<span>${label}</span>
    </button>`;
  return screen(
    'speaker',
    page.speakerTitle,
    html`<div class="choices">
        ${choice('phone', ICONS.phone, page.speakerPhone)}
        ${choice('computer', ICONS.computer, page.speakerComputer)}
        ${choice('own', ICONS.speaker, page.speakerOwn)}
        ${choice('tv', ICONS.television, page.speakerTv)}
        ${choice('headphones', ICONS.headphones, page.speakerHeadphones)}
      </div>
      <p class="notice" id="headphones-no" role="alert" hidden>${page.headphonesNo}</p>`,
  );
}

function ready({ words }: Texts): Html {
  return screen(
    'ready',
    words.ready.title,
    html`<ul class="ticks">
      ${words.ready.items.map(item => html`<li>${item}</li>`)}
    </ul>`,
    html`<button class="main" data-go="volume">${words.page.next}</button
      ><button data-go="speaker">${words.page.back}</button>`,
  );
}

function volume({ manifest }: KitContent, { words }: Texts): Html {
  const { asleep, page, volume } = words;
  const sleeps = isAsleep(manifest);
  return screen(
    'volume',
    volume.title,
    html`${sleeps ? html`<p class="notice">${asleep.volumeAwake}</p>` : ''}
      <p class="notice" id="own-volume" hidden>${page.ownVolume}</p>
      <p id="volume-check" hidden>${page.volumeCheck}</p>
      <button class="sound-button" data-do="reference" aria-pressed="false">
        ${ICONS.play}<span>${page.playReference}</span>
      </button>
      <details id="volume-steps" open>
        <summary>${page.showSteps}</summary>
        ${stepsList(volume.steps)}
      </details>
      <p class="aside">${volume.keep}</p>`,
    html`<p class="notice" id="volume-first" role="alert" hidden>${page.volumeFirst}</p>
      <button class="main" data-do="volume-set">${page.volumeSet}</button
      >${sleeps ? html`<button data-go="not-today">${page.notToday}</button>` : ''}<button
        id="other-speaker"
        data-go="speaker"
      >
        ${page.otherSpeaker}
      </button>`,
  );
}

function today(content: KitContent, texts: Texts): Html {
  const { words } = texts;
  const { page } = words;
  const raised = raisedInWords(content, texts);
  return screen(
    'today',
    page.today,
    html`<p class="notice good" id="day-note" hidden></p>
      <div id="step-card">
        <p class="step-title" id="step-title"></p>
        <p class="step-change" id="step-change"></p>
        <p id="step-explained"></p>
        <dl class="facts">
          <div>
            <dt>${page.howLong}</dt>
            <dd id="step-length"></dd>
          </div>
          <div>
            <dt>${page.howLoud}</dt>
            <dd id="step-loudness"></dd>
          </div>
        </dl>
        ${raised === undefined ? '' : html`<p class="aside">${raised}</p>`}
        ${stairs(stepsInWords(content, texts), texts)}
        <h2>${page.whatComes}</h2>
        <ol class="sounds" id="step-sounds"></ol>
        <p class="aside" id="looks-explained">${words.looks.explained}</p>
      </div>
      <details id="chooser">
        <summary>${page.chooseOther}</summary>
        <div
          class="step-buttons"
          id="step-buttons"
          role="group"
          aria-label="${page.chooseStep}"
        ></div>
      </details>`,
    html`<button class="main" data-go="ask" id="to-ask">${page.askChild}</button>`,
  );
}

function askChild({ words: { page } }: Texts): Html {
  return screen(
    'ask',
    page.askTitle,
    html`<blockquote>
        <p>${page.askWords}</p>
        <p>${page.askTell}</p>
        <p>${page.askStop}</p>
      </blockquote>
      <p id="ask-lying" hidden>${page.askLying}</p>
      <p class="aside">${page.askWait}</p>
      <p class="notice" id="not-started" role="alert" hidden>${page.notStarted}</p>`,
    html`<button class="main" data-do="start">${page.startNow}</button
      ><button data-do="not-today">${page.notToday}</button>`,
  );
}

/** In place of asking: what has to be so before a sound reaches a child asleep. */
function askParent({ words: { asleep, page } }: Texts): Html {
  return screen(
    'ask',
    page.askTitle,
    html`<ul class="ticks">
        ${asleep.checks.map(item => html`<li>${item}</li>`)}
      </ul>
      <p>${page.askWait}</p>
      <p class="notice" id="not-started" role="alert" hidden>${page.notStarted}</p>`,
    html`<button class="main" data-do="start">${page.startNow}</button
      ><button data-go="not-today">${page.notToday}</button>`,
  );
}
