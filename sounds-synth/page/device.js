/**
 * What the page asks of the device while a step plays: stay awake, and show the step on the lock
 * screen. Both are niceties: where they are missing, the sound goes on without them.
 */

/**
 * Keeps the screen awake while a step plays, where the browser can.
 */
function createWakeLock() {
  /** @type {WakeLockSentinel | null} */
  let lock = null;
  let wanted = false;

  function ask() {
    if (!wanted || lock || !navigator.wakeLock || document.hidden) return;
    navigator.wakeLock.request('screen').then(
      function (sentinel) {
        lock = sentinel;
        sentinel.addEventListener('release', function () {
          lock = null;
        });
        if (!wanted) sentinel.release();
      },
      function () {
        // Battery saving or an old browser: the screen may go dark, the sound goes on.
      },
    );
  }

  document.addEventListener('visibilitychange', ask);
  return {
    hold: function () {
      wanted = true;
      ask();
    },
    release: function () {
      wanted = false;
      if (lock) lock.release();
    },
  };
}

/**
 * Tells the lock screen what is playing. Its pause and stop buttons stop the step; it can neither
 * start nor skip.
 *
 * @param {string} title
 * @param {string} album
 * @param {() => void} stop
 */
function showOnLockScreen(title, album, stop) {
  if (!navigator.mediaSession || !window.MediaMetadata) return;
  navigator.mediaSession.metadata = new MediaMetadata({ title, album });
  for (const action of /** @type {MediaSessionAction[]} */ (['pause', 'stop'])) {
    setLockScreenAction(action, stop);
  }
  for (const action of /** @type {MediaSessionAction[]} */ ([
    'play',
    'seekto',
    'seekbackward',
    'seekforward',
    'previoustrack',
    'nexttrack',
  ])) {
    setLockScreenAction(action, function () {});
  }
}

/**
 * @param {MediaSessionAction} action
 * @param {() => void} handler
 */
function setLockScreenAction(action, handler) {
  try {
    navigator.mediaSession.setActionHandler(action, handler);
  } catch {
    // This browser does not know the action.
  }
}
