/**
 * One practice: count-down, playing, stopping, going on after a cut, and how it was.
 */

/** Seconds counted down before a step, on the screen. */
const COUNT_FROM = 3;

/** Going on after a cut starts this long before the sound that was cut, in s, but never in another. */
const QUIET_BEFORE_S = 1.5;

/** A step counts as played to its end when less than this is left of it, in s. */
const END_SLACK_S = 1;

/** @param {Page} page */
function createPractice(page) {
  const { data, memory, screens } = page;
  const wakeLock = createWakeLock();
  let countTimer = 0;
  let startedAt = new Date();
  /** Where playing starts or goes on, in s. */
  let fromS = 0;
  let playedS = 0;
  let wasCut = false;
  /** By the child; by the parent of a child asleep. */
  let wasStopped = false;
  /** The sound whose picture is on the screen. @type {PageData['steps'][number]['sounds'][number] | undefined} */
  let shown;

  const player = createPlayer({
    tick: showProgress,
    end: function () {
      playedS = page.step.durationS;
      finish();
    },
    cut: function (atS) {
      playedS = Math.max(playedS, atS);
      fromS = placeToGoOn(page.step, atS);
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
    fromS = 0;
    playedS = 0;
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
    showProgress(fromS);
    player.play(fromS, wasCut).then(function (playing) {
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

  /** @param {number} atS */
  function showProgress(atS) {
    const { sounds, between, durationS } = page.step;
    playedS = Math.max(playedS, atS);
    const now = sounds.find(sound => sound.startS <= atS && atS < sound.endS);
    const pause = between.find(part => part.startS <= atS && atS < part.endS);
    const next =
      sounds.find(sound => sound.startS > atS) || between.find(part => part.startS > atS);
    const before = sounds.length > 0 && atS < sounds[0].startS;
    setText(
      'sound-now',
      now ? now.name : pause ? pause.name : before ? data.words.lead : data.words.quiet,
    );
    setText('sound-next', next ? next.name : data.words.theEnd);
    if (now !== shown) drawLooks(part('looks-now'), now && data.pictures[now.scan], 'bars');
    shown = now;
    setText('time-left', data.words.timeLeft.replace('{time}', clockTime(durationS - atS)));
    fillMoon(atS / durationS);
  }

  function stop() {
    window.clearInterval(countTimer);
    const current = screens.current();
    const atS = player.stop();
    wakeLock.release();
    if (current === 'play') {
      wasStopped = true;
      playedS = Math.max(playedS, atS);
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
    const completed = !wasStopped && playedS >= page.step.durationS - END_SLACK_S;
    const practice = note({
      playedS: Math.round(playedS),
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
        playedS: 0,
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
 * @param {number} atS Where it was cut.
 */
function placeToGoOn(step, atS) {
  const begun = step.sounds.filter(sound => sound.startS <= atS);
  if (begun.length === 0) return 0;
  const cut = begun[begun.length - 1];
  const before = begun.length > 1 ? begun[begun.length - 2].endS : 0;
  return Math.max(before, cut.startS - QUIET_BEFORE_S, 0);
}
