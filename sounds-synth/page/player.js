/**
 * Plays one audio file at a time, and never suddenly.
 *
 * The level is in the file; nothing here makes it louder. Where a browser lets a page set an
 * element's volume, stopping and going on are faded with it. Some (on iPhones and iPads) do not: there,
 * stopping pauses at once, and going on relies on seeking back to the quiet before the sound, whose
 * own slow onset is in the file. Both are done everywhere.
 */

/** Length of the fade when stopping, in ms. With the pause after it, quiet comes well within 300 ms. */
const STOP_FADE_MS = 150;

/** Length of the fade when going on after a cut, in ms. */
const RESUME_FADE_MS = 2000;

/** Time between two steps of a fade, in ms. */
const FADE_STEP_MS = 15;

/**
 * @typedef {object} PlayerEvents
 * @property {(atSeconds: number) => void} tick Where playback is, several times a second.
 * @property {() => void} end The file has been played to its end.
 * @property {(atSeconds: number) => void} cut The device stopped it: a call, a lost speaker, a sleeping phone.
 * @property {() => void} fail The file cannot be played: not there, or not readable.
 */

/** @param {PlayerEvents} events */
function createPlayer(events) {
  const audio = new Audio();
  audio.preload = 'auto';
  /** @type {'idle' | 'playing' | 'stopping'} */
  let state = 'idle';
  let fadeTimer = 0;

  audio.addEventListener('timeupdate', function () {
    if (state === 'playing') events.tick(audio.currentTime);
  });
  audio.addEventListener('ended', function () {
    if (state === 'idle') return;
    state = 'idle';
    events.end();
  });
  audio.addEventListener('pause', function () {
    // At the end of a file, "pause" comes before "ended".
    if (state !== 'playing' || audio.ended) return;
    state = 'idle';
    window.clearInterval(fadeTimer);
    events.cut(audio.currentTime);
  });
  audio.addEventListener('error', function () {
    if (!audio.getAttribute('src')) return;
    state = 'idle';
    events.fail();
  });

  /**
   * Gets a file ready. Called from a tap, it also asks the browser for leave to play later, after the
   * count-down: the file is started without sound and halted at its start.
   *
   * @param {string} url
   */
  function load(url) {
    halt();
    audio.src = url;
    audio.muted = true;
    const leave = audio.play();
    return Promise.resolve(leave).then(
      function () {
        audio.pause();
        audio.currentTime = 0;
        audio.muted = false;
        return true;
      },
      function () {
        audio.muted = false;
        return false;
      },
    );
  }

  /**
   * Plays what was loaded.
   *
   * @param {number} fromSeconds
   * @param {boolean} faded Whether to fade in here too.
   */
  function play(fromSeconds, faded) {
    window.clearInterval(fadeTimer);
    audio.currentTime = fromSeconds;
    audio.playbackRate = 1;
    audio.loop = false;
    audio.volume = faded ? 0 : 1;
    return Promise.resolve(audio.play()).then(
      function () {
        state = 'playing';
        if (faded) fade(0, 1, RESUME_FADE_MS);
        return true;
      },
      function () {
        return false;
      },
    );
  }

  /** Fades out quickly and stops. Returns the place reached, in s. */
  function stop() {
    const atSeconds = audio.currentTime;
    if (state === 'playing') {
      state = 'stopping';
      // A hidden page's timers run slowly; there, and where volume cannot be set, stop at once.
      if (document.hidden || !canSetVolume()) halt();
      else fade(audio.volume, 0, STOP_FADE_MS, halt);
    }
    return atSeconds;
  }

  function halt() {
    window.clearInterval(fadeTimer);
    state = 'idle';
    audio.pause();
  }

  function canSetVolume() {
    const before = audio.volume;
    audio.volume = before > 0.5 ? before - 0.01 : before + 0.01;
    const changed = audio.volume !== before;
    audio.volume = before;
    return changed;
  }

  /**
   * @param {number} from
   * @param {number} to
   * @param {number} lengthMs
   * @param {() => void} [then]
   */
  function fade(from, to, lengthMs, then) {
    const startMs = performance.now();
    window.clearInterval(fadeTimer);
    fadeTimer = window.setInterval(function () {
      const share = Math.min(1, (performance.now() - startMs) / lengthMs);
      audio.volume = from + (to - from) * share;
      if (share < 1) return;
      window.clearInterval(fadeTimer);
      if (then) then();
    }, FADE_STEP_MS);
  }

  /** Where playback is, in s. */
  function at() {
    return audio.currentTime;
  }

  return { load, play, stop, at };
}
