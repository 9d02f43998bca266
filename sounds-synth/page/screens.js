/**
 * Shows one screen at a time, finds the page's parts and fills them.
 */

/** Screens during which the top line is out of the way: one thing to see, one thing to press. */
const BARE_SCREENS = ['count', 'play'];

/** Screens that are read in between: "back" leads to the one before them. */
const READING_SCREENS = ['guide', 'log', 'missing'];

function createScreens() {
  let current = '';
  let before = '';

  /** @param {string} name */
  function go(name) {
    if (name !== current && READING_SCREENS.indexOf(current) < 0) before = current;
    current = name;
    document.querySelectorAll('.screen').forEach(function (screen) {
      /** @type {HTMLElement} */ (screen).hidden = screen.id !== 'screen-' + name;
    });
    document.body.classList.toggle('bare', isBare());
    window.scrollTo(0, 0);
    focusOn(name);
  }

  /**
   * The heading, so that a screen reader says where one is; while something plays, the stop button,
   * so that one key is enough.
   *
   * @param {string} name
   */
  function focusOn(name) {
    const stop = /** @type {HTMLElement | null} */ (
      part('screen-' + name).querySelector('button.stop')
    );
    (stop || part('title-' + name)).focus({ preventScroll: true });
  }

  function isBare() {
    return BARE_SCREENS.indexOf(current) >= 0;
  }

  return {
    go,
    isBare,
    current: function () {
      return current;
    },
    /** The last screen that was not there for reading only. */
    before: function () {
      return before;
    },
  };
}

/**
 * A part of the page by its id.
 *
 * @param {string} id
 * @throws {Error} There is none: a fault of the page.
 */
function part(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error('no part ' + id);
  return element;
}

/**
 * Sets a text, but only when it changes, so that a screen reader says it once.
 *
 * @param {string} id
 * @param {string} text
 */
function setText(id, text) {
  if (part(id).textContent !== text) part(id).textContent = text;
}

/**
 * @param {string} id
 * @param {boolean} shown
 */
function show(id, shown) {
  part(id).hidden = !shown;
}

/**
 * @param {string} id
 * @param {HTMLElement[]} children
 */
function fill(id, children) {
  const element = part(id);
  element.textContent = '';
  for (const child of children) element.append(child);
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
