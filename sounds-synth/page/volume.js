/**
 * Where the sound comes from, and setting the volume against ordinary talk.
 */

/** The reference counts as heard, and the volume as checked, after this long, in s. */
const REFERENCE_HEARD_SECONDS = 2;

/** @param {Page} page */
function createVolume(page) {
  const { data, memory } = page;
  let heardSeconds = 0;

  const reference = createPlayer({
    tick: hear,
    end: showOff,
    cut: showOff,
    fail: function () {
      page.showMissing(data.reference.file);
    },
  });

  /** @param {HTMLElement} button */
  function chooseSpeaker(button) {
    const kind = button.dataset.speaker || '';
    document.querySelectorAll('[data-speaker]').forEach(function (choice) {
      choice.setAttribute('aria-pressed', String(choice === button));
    });
    show('headphones-no', kind === 'headphones');
    if (kind === 'headphones') {
      part('headphones-no').scrollIntoView({ block: 'center' });
      return;
    }
    if (kind !== memory.speaker) memory.volumeSet = false;
    memory.speaker = kind;
    memory.keep();
    page.go(memory.practices.length > 0 ? 'volume' : 'ready');
  }

  /** The screen as it must look when it comes. */
  function prepare() {
    show('own-volume', memory.speaker === 'own' || memory.speaker === 'tv');
    show('volume-check', memory.volumeSet);
    show('volume-first', false);
    setText(
      'title-volume',
      memory.volumeSet ? data.words.volumeCheckTitle : data.words.volumeTitle,
    );
    /** @type {HTMLDetailsElement} */ (part('volume-steps')).open = !memory.volumeSet;
    showOff();
  }

  function toggle() {
    if (button().getAttribute('aria-pressed') === 'true') {
      stop();
      return;
    }
    show('volume-first', false);
    reference.load(data.reference.url).then(function (allowed) {
      if (!allowed || page.screens.current() !== 'volume') return;
      reference.play(0, false);
      showPlaying(true);
    });
  }

  function stop() {
    reference.stop();
    showOff();
  }

  function showOff() {
    showPlaying(false);
  }

  /** @param {boolean} playing */
  function showPlaying(playing) {
    button().setAttribute('aria-pressed', String(playing));
    const label = button().querySelector('span');
    if (label) label.textContent = playing ? data.words.stopReference : data.words.playReference;
  }

  function button() {
    return /** @type {HTMLElement} */ (document.querySelector('[data-do="reference"]'));
  }

  /** @param {number} atSeconds */
  function hear(atSeconds) {
    heardSeconds = Math.max(heardSeconds, atSeconds);
  }

  /** The reference must not sound beside a child asleep: what was checked in the evening holds for the night. */
  function isChecked() {
    return wasHeard() || (data.asleep && memory.volumeSet && isOfTonight(memory.volumeHeardAt));
  }

  function wasHeard() {
    hear(reference.at());
    return heardSeconds >= REFERENCE_HEARD_SECONDS;
  }

  function confirm() {
    show('volume-first', !isChecked());
    if (!isChecked()) return;
    if (wasHeard()) memory.volumeHeardAt = Date.now();
    memory.volumeSet = true;
    memory.keep();
    page.go('today');
  }

  return { chooseSpeaker, prepare, toggle, stop, isChecked, confirm };
}

/** @param {number} atMs In ms since 1970. */
function isOfTonight(atMs) {
  const hours = (Date.now() - atMs) / 3600000;
  return hours >= 0 && hours < NIGHT_HOURS;
}
