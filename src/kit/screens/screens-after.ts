/**
 * The page's screens from the count-down on: playing, cut off, how it was, done; and what can be
 * read at any time: guide, missing sound.
 *
 * @module
 */
import type { KitContent } from '../content.js';
import { ASLEEP_MARKS, type ChildMark, seenSigns, WORRIES } from '../words/rating-scale.js';
import type { Manifest } from '../manifest/manifest.js';
import { isAsleep } from '../words/texts-for.js';
import type { Texts } from '../words/texts.js';
import type { Words } from '../words/texts-shape.js';

import { html, type Html } from '../../formats/html.js';
import { FACES, FILLING_MOON, FULL_MOON, ICONS } from './icons.js';
import { contactCard, points, screen } from './parts.js';

/** Highest mark of the scale that children from seven years and parents use; 0 is the lowest. */
const SCALE_TOP = 10;

export function screensAfter(
  content: KitContent,
  texts: Texts,
  childMark: ChildMark,
): readonly Html[] {
  return [
    count(texts),
    playing(texts),
    cutOff(texts),
    how(content, texts, childMark),
    done(content, texts),
    notToday(texts),
    worry(content, texts),
    stopped(content, texts),
    missing(content, texts),
  ];
}

const stopButton = ({ words: { page } }: Texts): Html =>
  html`<button class="stop" data-do="stop">${ICONS.hand}<span>${page.stop}</span></button>`;

function count(texts: Texts): Html {
  return screen(
    'count',
    texts.words.page.getReady,
    html`<p class="count" id="count" role="timer" aria-live="assertive"></p>`,
    stopButton(texts),
  );
}

function playing(texts: Texts): Html {
  const { page } = texts.words;
  return screen(
    'play',
    page.playing,
    html`${FILLING_MOON}
      <p class="time-left" id="time-left" role="timer" aria-live="off"></p>
      <p class="now" aria-live="polite">
        <span class="label">${page.soundNow}</span> <bdi id="sound-now"></bdi>
      </p>
      <div class="sound-looks" id="looks-now"></div>
      <p class="next"><span class="label">${page.soundNext}</span> <bdi id="sound-next"></bdi></p>`,
    stopButton(texts),
  );
}

function cutOff({ words: { page } }: Texts): Html {
  return screen(
    'cut-off',
    page.pausedTitle,
    html`<p>${page.pausedText}</p>`,
    html`<button class="main" data-do="go-on">${page.goOn}</button
      ><button data-do="finish">${page.finish}</button>`,
  );
}

function how({ manifest }: KitContent, texts: Texts, childMark: ChildMark): Html {
  const { page } = texts.words;
  return screen(
    'how',
    page.howTitle,
    html`<div class="notice good" id="stopped-note" hidden>
        <p><strong>${page.stoppedTitle}</strong></p>
        <p>${page.stoppedText}</p>
      </div>
      <form id="how-form" novalidate>
        ${childMark === 'none' ? '' : childQuestion(texts, childMark)}
        ${parentQuestion(manifest, texts)} ${signBoxes(page.signsTitle, seenSigns(manifest), texts)}
        ${signBoxes(page.worryTitle, WORRIES, texts)}
        <label class="box"
          ><input type="checkbox" name="noteWanted" id="note-wanted" /><span
            >${page.noteWanted}</span
          ></label
        >
        <div id="note-field" hidden>
          <label for="note">${page.noteLabel}</label>
          <textarea
            id="note"
            name="note"
            rows="3"
            maxlength="300"
            aria-describedby="note-hint"
          ></textarea>
          <p class="aside" id="note-hint">${page.noteHint}</p>
        </div>
      </form>`,
    html`<button class="main" data-do="save">${page.save}</button>`,
  );
}

function childQuestion(texts: Texts, childMark: ChildMark): Html {
  const { page } = texts.words;
  if (childMark === 'scale') return scale('childMark', page.askChildMark, texts);
  const faceChoice = (value: string, picture: Html, label: string): Html =>
    html`<label class="face-choice"
      ><input type="radio" name="childMark" value="${value}" />${picture}<span
        >${label}</span
      ></label
    >`;
  return html`<fieldset>
    <legend>${page.askChildMark}</legend>
    <div class="faces">
      ${faceChoice('fine', FACES.fine, page.markFine)}${faceChoice('some', FACES.some, page.markSome)}${faceChoice(
        'much',
        FACES.much,
        page.markHard,
      )}
    </div>
  </fieldset>`;
}

/** A scale, or what a child asleep did. */
function parentQuestion(manifest: Manifest, texts: Texts): Html {
  const { asleep, page } = texts.words;
  if (!isAsleep(manifest)) return scale('parentMark', page.parentMark, texts);
  return html`<fieldset>
    <legend>${page.parentMark}</legend>
    <div class="faces">
      ${ASLEEP_MARKS.map(
        ({ mark, word }) =>
          html`<label class="face-choice"
            ><input type="radio" name="parentMark" value="${mark}" /><span
              >${asleep[word]}</span
            ></label
          >`,
      )}
    </div>
  </fieldset>`;
}

function scale(name: string, legend: string, { words: { page } }: Texts): Html {
  const marks = Array.from({ length: SCALE_TOP + 1 }, (_, mark) => mark);
  return html`<fieldset>
    <legend>${legend}</legend>
    <div class="scale">
      ${marks.map(
        mark =>
          html`<label
            ><input type="radio" name="${name}" value="${mark}" /><span>${mark}</span></label
          >`,
      )}
    </div>
    <p class="scale-ends">
      <span>0 ${page.scaleLow}</span><span>${SCALE_TOP} ${page.scaleHigh}</span>
    </p>
  </fieldset>`;
}

const signBoxes = (legend: string, names: readonly (keyof Words['signs'])[], texts: Texts): Html =>
  html`<fieldset>
    <legend>${legend}</legend>
    <div class="boxes">
      ${names.map(
        name =>
          html`<label class="box"
            ><input type="checkbox" name="signs" value="${name}" /><span
              >${texts.words.signs[name]}</span
            ></label
          >`,
      )}
    </div>
  </fieldset>`;

function done({ manifest }: KitContent, { words: { page } }: Texts): Html {
  return screen(
    'done',
    page.doneTitle,
    html`<div class="done-moon">${FULL_MOON}</div>
      <p>${page.doneText}</p>
      <p class="notice" id="done-back" hidden>${page.doneBack}</p>
      <p class="notice" id="done-keep" hidden>${page.doneKeep}</p>`,
    html`<button data-go="log">${page.seeLog}</button>${
        // Once a night.
        isAsleep(manifest) ? '' : html`<button data-go="today">${page.playAgain}</button>`
      }`,
  );
}

function notToday({ words: { page } }: Texts): Html {
  return screen(
    'not-today',
    page.notTodayTitle,
    html`<p>${page.notTodayText}</p>`,
    html`<button data-go="today">${page.home}</button>`,
  );
}

function worry(content: KitContent, texts: Texts): Html {
  const { page, stopping } = texts.words;
  return screen(
    'worry',
    page.worryPageTitle,
    html`<p>${stopping.callTitle}</p>
      ${points(stopping.call)} ${contactCard(content, texts)}
      <p class="notice">${stopping.emergency}</p>`,
    html`<button data-do="cleared">${page.worryCleared}</button>`,
  );
}

/** First and last of a kit whose practice was stopped: nothing is asked for, or got ready, any more. */
function stopped(content: KitContent, texts: Texts): Html {
  const { page } = texts.words;
  return screen(
    'stopped',
    page.worryPageTitle,
    html`<p class="notice">${page.practiceStopped}</p>
      ${contactCard(content, texts)}`,
    html`<button data-go="log">${page.seeLog}</button>`,
  );
}

function missing(content: KitContent, texts: Texts): Html {
  const { page } = texts.words;
  return screen(
    'missing',
    page.missingTitle,
    html`<p class="notice" id="missing-file"></p>
      ${points(page.missingFix)} ${contactCard(content, texts)}`,
    html`<button class="main" data-do="try-again">${page.tryAgain}</button>`,
  );
}
