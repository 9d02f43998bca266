/**
 * Shows one screen at a time and finds the page's parts.
 */

/**
 * A part of the page by its id. @throws {Error} There is none: a fault of the page.
 *
 * @param {string} id
 */
function part(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error('no part ' + id);
  return element;
}

/**
 * @param {string} id
 * @param {string} text
 */
function setText(id, text) {
  part(id).textContent = text;
}

/**
 * @param {string} id
 * @param {boolean} shown
 */
function show(id, shown) {
  part(id).hidden = !shown;
}

/** Screens during which the top line is out of the way: one thing to see, one thing to press. */
const BARE_SCREENS = ['count', 'play'];

function createScreens() {
  let current = '';
  let before = '';
  return {
    /** @param {string} name */
    go: function (name) {
      if (name !== current) before = current;
      current = name;
      document.querySelectorAll('.screen').forEach(function (screen) {
        /** @type {HTMLElement} */ (screen).hidden = screen.id !== 'screen-' + name;
      });
      const header = document.querySelector('header');
      if (header) header.hidden = BARE_SCREENS.indexOf(name) >= 0;
      window.scrollTo(0, 0);
      part('title-' + name).focus({ preventScroll: true });
    },
    current: function () {
      return current;
    },
    /** The screen before this one. */
    before: function () {
      return before;
    },
  };
}

/**
 * Minutes and seconds, `2:05`.
 *
 * @param {number} seconds
 */
function clockTime(seconds) {
  const whole = Math.max(0, Math.ceil(seconds));
  return Math.floor(whole / 60) + ':' + String(whole % 60).padStart(2, '0');
}

/**
 * Slides the shadow off the moon: new at 0, full at 1.
 *
 * @param {number} share
 */
function fillMoon(share) {
  part('moon-shadow').setAttribute('cx', String(100 + 176 * Math.min(1, Math.max(0, share))));
}
