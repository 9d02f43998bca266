/**
 * One practice: count-down, playing, stopping, going on after a cut, and how it was.
 */

/** Seconds counted down before a step, on the screen. */
const COUNT_FROM = 3;

/** Going on after a cut starts this long before the sound that was cut, in s, but never in another. */
const QUIET_BEFORE_SECONDS = 1.5;

/** A step counts as played to its end when less than this is left of it, in s. */
const END_SLACK_SECONDS = 1;

/** @param {Page} page */
function createPractice(page) {
  const { data, memory, screens } = page;
  const wakeLock = createWakeLock();
  let countTimer = 0;
  let startedAt = new Date();
  /** Where playing starts or goes on, in s. */
  let fromSeconds = 0;
  let playedSeconds = 0;
  let wasCut = false;
  /** By the child; by the parent of a child asleep. */
  let wasStopped = false;
  /** The sound whose picture is on the screen. @type {PageData['steps'][number]['sounds'][number] | undefined} */
  let shown;

  const player = createPlayer({
    tick: showProgress,
    end: function () {
      playedSeconds = page.step.durationSeconds;
      finish();
    },
    cut: function (atSeconds) {
      playedSeconds = Math.max(playedSeconds, atSeconds);
      fromSeconds = placeToGoOn(page.step, atSeconds);
      wasCut = true;
      wakeLock.release();
      screens.go('cut-off');
    },
    fail: function () {
      window.clearInterval(countTimer);
      wakeLock.release();
      page.showMissing(page.step.file);
    },
  });

  function start() {
    startedAt = new Date();
    fromSeconds = 0;
    playedSeconds = 0;
    wasCut = false;
    wasStopped = false;
    show('not-started', false);
    setText('count', '');
    screens.go('count');
    player.load(page.step.url).then(function (allowed) {
      // A missing file has its own screen by now; or the child pressed stop.
      if (screens.current() !== 'count') return;
      if (allowed) countDown();
      else backToAsk();
    });
  }

  function countDown() {
    let left = COUNT_FROM;
    screens.go('count');
    if (data.asleep) {
      // Nobody is there to count with.
      begin();
      return;
    }
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
    showProgress(fromSeconds);
    player.play(fromSeconds, wasCut).then(function (playing) {
      if (screens.current() !== 'count') {
        // The child pressed stop in the very moment.
        player.stop();
        return;
      }
      if (!playing) {
        backToAsk();
        return;
      }
      wakeLock.hold();
      showOnLockScreen(page.step.title, document.title, stop);
      screens.go('play');
    });
  }

  /** @param {number} atSeconds */
  function showProgress(atSeconds) {
    const { sounds, between, durationSeconds } = page.step;
    playedSeconds = Math.max(playedSeconds, atSeconds);
    const now = sounds.find(
      sound => sound.startSeconds <= atSeconds && atSeconds < sound.endSeconds,
    );
    const pause = between.find(
      part => part.startSeconds <= atSeconds && atSeconds < part.endSeconds,
    );
    const next =
      sounds.find(sound => sound.startSeconds > atSeconds) ||
      between.find(part => part.startSeconds > atSeconds);
    const before = sounds.length > 0 && atSeconds < sounds[0].startSeconds;
    setText(
      'sound-now',
      now ? now.name : pause ? pause.name : before ? data.words.lead : data.words.quiet,
    );
    setText('sound-next', next ? next.name : data.words.theEnd);
    if (now !== shown) drawLooks(part('looks-now'), now && data.pictures[now.scan], 'bars');
    shown = now;
    setText(
      'time-left',
      data.words.timeLeft.replace('{time}', clockTime(durationSeconds - atSeconds)),
    );
    fillMoon(atSeconds / durationSeconds);
  }

  function stop() {
    window.clearInterval(countTimer);
    const current = screens.current();
    const atSeconds = player.stop();
    wakeLock.release();
    if (current === 'play') {
      wasStopped = true;
      playedSeconds = Math.max(playedSeconds, atSeconds);
      finish();
    } else if (current === 'count') {
      decline();
    }
  }

  function backToAsk() {
    screens.go('ask');
    show('not-started', true);
  }

  /** The child was asked and chose not to. */
  function decline() {
    // Of a child asleep nobody asked anything.
    if (!data.asleep) note({ stoppedBy: 'declined' });
    screens.go('not-today');
  }

  function finish() {
    wakeLock.release();
    form().reset();
    showChosen();
    show('stopped-note', wasStopped);
    show('note-field', false);
    screens.go('how');
  }

  function form() {
    return /** @type {HTMLFormElement} */ (part('how-form'));
  }

  /** Browsers that can style a label by its input are too new to rely on. */
  function showChosen() {
    form()
      .querySelectorAll('input')
      .forEach(function (input) {
        const label = input.closest('label');
        if (label) label.classList.toggle('chosen', input.checked && input.type === 'radio');
      });
    const wanted = /** @type {HTMLInputElement} */ (part('note-wanted')).checked;
    show('note-field', wanted);
  }

  function save() {
    const said = new FormData(form());
    const completed = !wasStopped && playedSeconds >= page.step.durationSeconds - END_SLACK_SECONDS;
    const practice = note({
      playedSeconds: Math.round(playedSeconds),
      completed,
      cut: wasCut,
      stoppedBy: wasStopped ? (data.asleep ? 'parent' : 'child') : completed ? '' : 'outside',
      childMark: String(said.get('childMark') || ''),
      parentMark: String(said.get('parentMark') || ''),
      signs: said.getAll('signs').map(String),
      note: said.has('noteWanted') ? String(said.get('note') || '').trim() : '',
    });
    if (isWorrying(practice)) {
      screens.go('worry');
      return;
    }
    show('done-back', goesBack(data, practice));
    show('done-keep', !memory.lasting());
    screens.go('done');
  }

  /** @param {Partial<Practice>} said */
  function note(said) {
    const practice = Object.assign(
      {
        date: localDay(startedAt),
        time: localTime(startedAt),
        step: page.step.number,
        volumeChecked: page.volumeChecked(),
        playedSeconds: 0,
        completed: false,
        cut: false,
        stoppedBy: /** @type {Practice['stoppedBy']} */ (''),
        childMark: '',
        parentMark: '',
        signs: [],
        note: '',
      },
      said,
    );
    memory.practices.push(practice);
    memory.keep();
    return practice;
  }

  form().addEventListener('change', showChosen);
  form().addEventListener('submit', function (event) {
    event.preventDefault();
  });

  return {
    start,
    stop,
    finish,
    save,
    goOn: countDown,
    notToday: function () {
      startedAt = new Date();
      decline();
    },
  };
}

/**
 * Where to go on after a cut: in the quiet before the sound that was cut, so that its own slow onset
 * comes again.
 *
 * @param {PageData['steps'][number]} step
 * @param {number} atSeconds Where it was cut.
 */
function placeToGoOn(step, atSeconds) {
  const begun = step.sounds.filter(sound => sound.startSeconds <= atSeconds);
  if (begun.length === 0) return 0;
  const cut = begun[begun.length - 1];
  const before = begun.length > 1 ? begun[begun.length - 2].endSeconds : 0;
  return Math.max(before, cut.startSeconds - QUIET_BEFORE_SECONDS, 0);
}
