/**
 * Ties the page together: which screen follows which, and what each button does.
 */

/** Seconds counted down before a step, aloud on the screen. */
const COUNT_FROM = 3;

/** Going on after a cut starts this long before the sound that was cut, in s, but never in another. */
const QUIET_BEFORE_S = 1.5;

/** The reference counts as heard, and the volume as set, after this long, in s. */
const REFERENCE_HEARD_S = 2;

startPage();

function startPage() {
  /** @type {PageData} */
  const data = JSON.parse(part('kit-data').textContent || '');
  const memory = openMemory(data.kit);
  const screens = createScreens();
  const wakeLock = createWakeLock();

  let referenceHeardS = 0;
  /** The step chosen for today. */
  let step = data.steps[0];
  /** Where playing starts or goes on, in s. */
  let fromS = 0;
  let wasCut = false;
  let stoppedByChild = false;
  let playedS = 0;
  let startedAt = new Date();
  let countTimer = 0;
  /** What "try again" tries. */
  let retry = goHome;

  const reference = createPlayer({
    tick: function (atS) {
      referenceHeardS = Math.max(referenceHeardS, atS);
    },
    end: showReferenceOff,
    cut: showReferenceOff,
    fail: function () {
      showMissing(data.reference.file, goHome);
    },
  });

  const player = createPlayer({
    tick: showProgress,
    end: function () {
      playedS = step.durationS;
      finish();
    },
    cut: function (atS) {
      playedS = Math.max(playedS, atS);
      fromS = placeToGoOn(step, atS);
      wakeLock.release();
      screens.go('cut-off');
    },
    fail: function () {
      window.clearInterval(countTimer);
      showMissing(step.file, goHome);
    },
  });

  /** @type {Record<string, (button: HTMLElement) => void>} */
  const actions = {
    home: goHome,
    back: function () {
      const before = screens.before();
      if (before === '' || before === 'guide' || BARE_SCREENS.indexOf(before) >= 0) goHome();
      else go(before);
    },
    speaker: chooseSpeaker,
    reference: toggleReference,
    'volume-set': confirmVolume,
    start: function () {
      fromS = 0;
      playedS = 0;
      wasCut = false;
      stoppedByChild = false;
      startedAt = new Date();
      show('not-started', false);
      screens.go('count');
      setText('count', '');
      player.load(step.url).then(function (allowed) {
        // A missing file has its own screen; the child may have pressed stop.
        if (screens.current() !== 'count') return;
        if (allowed) countDown();
        else backToAsk();
      });
    },
    'not-today': function () {
      startedAt = new Date();
      note({ playedS: 0, completed: false, stoppedBy: 'declined' });
      screens.go('not-today');
    },
    stop: stop,
    'go-on': function () {
      wasCut = true;
      countDown();
    },
    finish: finish,
    save: save,
    cleared: function () {
      memory.clearedAt = memory.practices.length;
      memory.keep();
      goHome();
    },
    'try-again': function () {
      retry();
    },
  };

  document.addEventListener('click', function (event) {
    const target = /** @type {Element} */ (event.target);
    const button = /** @type {HTMLElement | null} */ (
      target.closest('[data-go], [data-do], [data-choose]')
    );
    if (!button) return;
    if (button.dataset.go) go(button.dataset.go);
    else if (button.dataset.choose) chooseStep(Number(button.dataset.choose));
    else if (button.dataset.do) actions[button.dataset.do](button);
  });
  document.addEventListener('keydown', function (event) {
    if (event.key === 'Escape' && BARE_SCREENS.indexOf(screens.current()) >= 0) stop();
  });
  part('how-form').addEventListener('change', showChosen);
  part('how-form').addEventListener('submit', function (event) {
    event.preventDefault();
  });
  window.addEventListener('pagehide', function () {
    player.stop();
    reference.stop();
  });

  show('save-first', ['file:', 'http:', 'https:'].indexOf(window.location.protocol) < 0);
  goHome();
  checkThere(data.reference.url, data.reference.file);

  // Where to go

  /** @param {string} name */
  function go(name) {
    if (name !== 'volume') stopReference();
    if (name === 'volume') showVolume();
    if (name === 'today') showToday();
    screens.go(name);
  }

  function goHome() {
    stopReference();
    const worried = memory.practices.slice(memory.clearedAt).some(practice => practice.worry);
    if (worried) go('worry');
    else if (!memory.volumeSet) go('welcome');
    else go(referenceHeardS >= REFERENCE_HEARD_S ? 'today' : 'volume');
  }

  // Speaker and volume

  /** @param {HTMLElement} button */
  function chooseSpeaker(button) {
    const kind = button.dataset.speaker || '';
    document.querySelectorAll('[data-speaker]').forEach(function (choice) {
      choice.setAttribute('aria-pressed', String(choice === button));
    });
    show('headphones-no', kind === 'headphones');
    if (kind === 'headphones') return;
    if (kind !== memory.speaker) memory.volumeSet = false;
    memory.speaker = kind;
    memory.keep();
    go(memory.practices.length > 0 ? 'volume' : 'ready');
  }

  function showVolume() {
    show('own-volume', memory.speaker === 'own' || memory.speaker === 'tv');
    show('volume-check', memory.volumeSet);
    show('volume-first', false);
    if (memory.volumeSet) setText('title-volume', data.words.volumeCheckTitle);
    /** @type {HTMLDetailsElement} */ (part('volume-steps')).open = !memory.volumeSet;
    showReferenceOff();
  }

  function toggleReference() {
    if (referenceButton().getAttribute('aria-pressed') === 'true') {
      stopReference();
      return;
    }
    show('volume-first', false);
    reference.load(data.reference.url).then(function (allowed) {
      if (!allowed || screens.current() !== 'volume') return;
      reference.play(0, false);
      showReference(true);
    });
  }

  function stopReference() {
    reference.stop();
    showReferenceOff();
  }

  function showReferenceOff() {
    showReference(false);
  }

  /** @param {boolean} playing */
  function showReference(playing) {
    const button = referenceButton();
    button.setAttribute('aria-pressed', String(playing));
    const label = button.querySelector('span');
    if (label) label.textContent = playing ? data.words.stopReference : data.words.playReference;
  }

  function referenceButton() {
    return /** @type {HTMLElement} */ (document.querySelector('[data-do="reference"]'));
  }

  function confirmVolume() {
    if (referenceHeardS < REFERENCE_HEARD_S) {
      show('volume-first', true);
      return;
    }
    memory.volumeSet = true;
    memory.keep();
    go('today');
  }

  // Today

  function showToday() {
    const date = localDay(new Date());
    const today = whatIsOpen(data, date, memory.practices);
    show('step-card', today.open > 0);
    show('chooser', today.open > 0);
    show('to-ask', today.open > 0);
    show('day-note', today.kind !== 'practice');
    setText('day-note', dayNote(today.kind));
    showStepButtons(today.open);
    if (today.open > 0) chooseStep(today.proposed);
  }

  /** @param {Today['kind']} kind */
  function dayNote(kind) {
    if (kind === 'rest') return data.words.restDay;
    if (kind === 'over') return data.words.scanDayPassed;
    return data.words.notYet.replace('{date}', data.sessions[0].dateInWords);
  }

  /** @param {number} open */
  function showStepButtons(open) {
    const buttons = data.steps.map(function (candidate) {
      const button = document.createElement('button');
      button.type = 'button';
      button.dataset.choose = String(candidate.number);
      button.disabled = candidate.number > open;
      button.append(candidate.title);
      const small = document.createElement('small');
      small.textContent = button.disabled ? opening(candidate.number) : candidate.loudness;
      button.append(small);
      return button;
    });
    part('step-buttons').replaceChildren(...buttons);
    document.querySelectorAll('.stairs rect').forEach(function (bar) {
      bar.classList.toggle('closed', Number(bar.getAttribute('data-step')) > open);
    });
  }

  /** @param {number} number */
  function opening(number) {
    const session = data.sessions.find(
      candidate => candidate.step >= number && candidate.date !== null,
    );
    return session
      ? data.words.lockedStep.replace('{date}', session.dateInWords)
      : data.words.lockedLater;
  }

  /** @param {number} number */
  function chooseStep(number) {
    step = data.steps.find(candidate => candidate.number === number) || data.steps[0];
    setText('step-title', step.title);
    setText('step-change', step.change);
    setText('step-length', step.length);
    setText('step-loudness', step.loudness);
    const rows = step.sounds.map(function (sound) {
      const row = document.createElement('li');
      const name = document.createElement('bdi');
      name.textContent = sound.name;
      const length = document.createElement('span');
      length.className = 'length';
      length.textContent = sound.length;
      row.append(name, length);
      return row;
    });
    part('step-sounds').replaceChildren(...rows);
    document.querySelectorAll('.stairs rect').forEach(function (bar) {
      bar.classList.toggle('today', bar.getAttribute('data-step') === String(step.number));
    });
    document.querySelectorAll('[data-choose]').forEach(function (button) {
      button.setAttribute(
        'aria-pressed',
        String(button.getAttribute('data-choose') === String(step.number)),
      );
    });
    checkThere(step.url, step.file);
  }

  // Playing

  function countDown() {
    let left = COUNT_FROM;
    screens.go('count');
    setText('count', String(left));
    window.clearInterval(countTimer);
    countTimer = window.setInterval(function () {
      left -= 1;
      if (left > 0) {
        setText('count', String(left));
        return;
      }
      window.clearInterval(countTimer);
      begin();
    }, 1000);
  }

  function begin() {
    showProgress(fromS);
    player.play(fromS, wasCut).then(function (playing) {
      if (screens.current() !== 'count') return;
      if (!playing) {
        backToAsk();
        return;
      }
      wakeLock.hold();
      showOnLockScreen(step.title, document.title, stop);
      screens.go('play');
    });
  }

  /** @param {number} atS */
  function showProgress(atS) {
    playedS = Math.max(playedS, atS);
    const now = step.sounds.find(sound => sound.startS <= atS && atS < sound.endS);
    const next = step.sounds.find(sound => sound.startS > atS);
    const first = step.sounds[0];
    const lead = first && atS < first.startS ? data.words.lead : data.words.quiet;
    changeText('sound-now', now ? now.name : lead);
    changeText('sound-next', next ? next.name : data.words.theEnd);
    setText('time-left', data.words.timeLeft.replace('{time}', clockTime(step.durationS - atS)));
    fillMoon(atS / step.durationS);
  }

  function stop() {
    window.clearInterval(countTimer);
    const current = screens.current();
    const atS = player.stop();
    wakeLock.release();
    if (current === 'play') {
      stoppedByChild = true;
      playedS = Math.max(playedS, atS);
      finish();
    } else if (current === 'count') {
      screens.go('not-today');
    }
  }

  function backToAsk() {
    screens.go('ask');
    show('not-started', true);
  }

  // How it was

  function finish() {
    wakeLock.release();
    /** @type {HTMLFormElement} */ (part('how-form')).reset();
    showChosen();
    show('stopped-note', stoppedByChild);
    screens.go('how');
  }

  function showChosen() {
    part('how-form')
      .querySelectorAll('input')
      .forEach(function (input) {
        const label = input.closest('label');
        if (label) label.classList.toggle('chosen', input.checked && input.type === 'radio');
      });
  }

  function save() {
    const form = new FormData(/** @type {HTMLFormElement} */ (part('how-form')));
    const completed = !stoppedByChild && playedS >= step.durationS - 1;
    const practice = note({
      playedS: Math.round(playedS),
      completed,
      stoppedBy: stoppedByChild ? 'child' : completed ? '' : 'outside',
      childMark: String(form.get('childMark') || ''),
      parentMark: String(form.get('parentMark') || ''),
      signs: form.getAll('signs').map(String),
      worry: form.has('worry'),
    });
    if (practice.worry) {
      screens.go('worry');
      return;
    }
    show('done-back', wasHard(practice));
    screens.go('done');
  }

  /** @param {Partial<Practice>} said */
  function note(said) {
    /** @type {Practice} */
    const practice = Object.assign(
      {
        date: localDay(startedAt),
        time: localTime(startedAt),
        step: step.number,
        playedS: 0,
        completed: false,
        stoppedBy: /** @type {''} */ (''),
        childMark: '',
        parentMark: '',
        signs: [],
        worry: false,
      },
      said,
    );
    memory.practices.push(practice);
    memory.keep();
    return practice;
  }

  // Missing files

  /**
   * Looks whether a file is there before it is needed.
   *
   * @param {string} url
   * @param {string} file
   */
  function checkThere(url, file) {
    const probe = new Audio();
    probe.preload = 'metadata';
    probe.addEventListener('error', function () {
      showMissing(file, function () {
        goHome();
        checkThere(url, file);
      });
    });
    probe.src = url;
  }

  /**
   * @param {string} file
   * @param {() => void} tryAgain
   */
  function showMissing(file, tryAgain) {
    wakeLock.release();
    retry = tryAgain;
    setText('missing-file', data.words.missingText.replace('{file}', file));
    screens.go('missing');
  }
}

/**
 * Where to go on after a cut: in the quiet before the sound that was cut, so that its own slow onset
 * comes again.
 *
 * @param {PageData['steps'][number]} step
 * @param {number} atS Where it was cut.
 */
function placeToGoOn(step, atS) {
  const begun = step.sounds.filter(sound => sound.startS <= atS);
  if (begun.length === 0) return 0;
  const cut = begun[begun.length - 1];
  const before = begun.length > 1 ? begun[begun.length - 2].endS : 0;
  return Math.max(before, cut.startS - QUIET_BEFORE_S, 0);
}

/**
 * Sets a text only when it changes, so that a screen reader says it once.
 *
 * @param {string} id
 * @param {string} text
 */
function changeText(id, text) {
  if (part(id).textContent !== text) setText(id, text);
}
