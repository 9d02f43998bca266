/**
 * Ties the page together: which screen follows which, and what each button does.
 */

/** @typedef {import('../../src/kit/screens/page-data.js').PageData} PageData */

/**
 * What the parts of the page share.
 *
 * @typedef {object} Page
 * @property {PageData} data
 * @property {Memory} memory
 * @property {ReturnType<typeof createScreens>} screens
 * @property {PageData['steps'][number]} step The step chosen for today.
 * @property {(name: string) => void} go
 * @property {() => boolean} volumeChecked
 * @property {(file: string) => void} showMissing
 * @property {(wanted: { url: string, file: string }) => void} checkThere
 */

startPage();

function startPage() {
  /** @type {PageData} */
  const data = JSON.parse(part('kit-data').textContent || '');
  /** @type {Page} */
  const page = {
    data,
    memory: openMemory(data.kit),
    screens: createScreens(),
    step: data.steps[0],
    go,
    volumeChecked: function () {
      return volume.isChecked();
    },
    showMissing,
    checkThere,
  };
  const { memory, screens } = page;
  const volume = createVolume(page);
  const today = createToday(page);
  const practice = createPractice(page);
  const log = createLog(page);

  /** Called before a screen is shown. @type {Record<string, () => void>} */
  const prepare = { volume: volume.prepare, today: today.prepare, log: log.prepare };

  /** @type {Record<string, (button: HTMLElement) => void>} */
  const actions = {
    home: goHome,
    back: goBack,
    speaker: volume.chooseSpeaker,
    reference: volume.toggle,
    'volume-set': volume.confirm,
    start: practice.start,
    'not-today': practice.notToday,
    stop: practice.stop,
    'go-on': practice.goOn,
    finish: practice.finish,
    save: practice.save,
    cleared: function () {
      memory.clearedAt = memory.practices.length;
      memory.keep();
      goHome();
    },
    'try-again': function () {
      goHome();
      checkThere(data.reference);
    },
    download: log.download,
    print: log.print,
  };

  document.addEventListener('click', function (event) {
    const pressed = /** @type {Element} */ (event.target).closest('button');
    if (!pressed) return;
    const { go: screen, choose: step, do: action } = pressed.dataset;
    if (screen) go(screen);
    else if (step) today.choose(Number(step));
    else if (action) actions[action](pressed);
  });
  document.addEventListener('keydown', function (event) {
    if (event.key === 'Escape' && screens.isBare()) practice.stop();
  });
  window.addEventListener('pagehide', function () {
    volume.stop();
    if (screens.isBare()) practice.stop();
  });

  show('save-first', ['file:', 'http:', 'https:'].indexOf(window.location.protocol) < 0);
  goHome();
  // A kit that has stopped plays nothing.
  if (data.sessions.length > 0) checkThere(data.reference);

  /** @param {string} name */
  function go(name) {
    if (name !== 'volume') volume.stop();
    if (prepare[name]) prepare[name]();
    screens.go(name);
  }

  function goHome() {
    if (data.sessions.length === 0) {
      go('stopped');
      return;
    }
    const isWorried = memory.practices.slice(memory.clearedAt).some(isWorrying);
    if (isWorried) go('worry');
    else if (!memory.volumeSet) go('welcome');
    else go(volume.isChecked() ? 'today' : 'volume');
  }

  /** From guide and log, back to where they were opened. */
  function goBack() {
    const before = screens.before();
    if (before === '' || READING_SCREENS.indexOf(before) >= 0) goHome();
    else go(before);
  }

  /**
   * Looks whether a file is there before it is needed.
   *
   * @param {{ url: string, file: string }} wanted
   */
  function checkThere(wanted) {
    const probe = new Audio();
    probe.preload = 'metadata';
    probe.addEventListener('error', function () {
      if (!screens.isBare()) showMissing(wanted.file);
    });
    probe.src = wanted.url;
  }

  /** @param {string} file */
  function showMissing(file) {
    setText('missing-file', data.words.missingText.replace('{file}', file));
    screens.go('missing');
  }
}
