/**
 * Today's step: what comes, how long, how loud, and the choice of a lower one.
 */

/** @param {Page} page */
function createToday(page) {
  const { data, memory } = page;

  /** The screen as it must look when it comes. */
  function prepare() {
    const { practices } = memory;
    const today = whatIsOpen(data, localDay(new Date()), practices, memory.lasting());
    const enough = data.asleep && playedTonight(practices, new Date());
    for (const id of ['step-card', 'chooser']) show(id, today.open > 0);
    show('to-ask', today.open > 0 && !enough);
    const note = enough && today.open > 0 ? data.words.playedTonight : dayNote(today);
    show('day-note', note !== '');
    setText('day-note', note);
    showButtons(today.open);
    if (today.open > 0) choose(today.proposed);
  }

  /** @param {Today} today */
  function dayNote({ kind, open, proposed }) {
    const { words } = data;
    if (kind === 'stopped') return words.practiceStopped;
    if (kind === 'rest') return words.restDay;
    if (kind === 'over') return words.scanDayPassed;
    if (kind === 'before') return words.notYet.replace('{date}', data.sessions[0].dateInWords);
    const isFresh = memory.practices.length === 0 && proposed < open;
    return isFresh ? words.nothingNoted : '';
  }

  /** @param {number} open Highest step that is open. */
  function showButtons(open) {
    const buttons = data.steps.map(function (step) {
      const button = document.createElement('button');
      button.type = 'button';
      button.dataset.choose = String(step.number);
      button.disabled = step.number > open;
      const small = document.createElement('small');
      small.textContent = button.disabled ? opening(step.number) : step.loudness;
      button.append(step.title, small);
      return button;
    });
    fill('step-buttons', buttons);
    bars().forEach(function (bar) {
      bar.classList.toggle('closed', Number(bar.getAttribute('data-step')) > open);
    });
  }

  /** @param {number} number */
  function opening(number) {
    const session = data.sessions.find(session => session.step >= number && session.date !== null);
    return session
      ? data.words.lockedStep.replace('{date}', session.dateInWords)
      : data.words.lockedLater;
  }

  /** @param {number} number */
  function choose(number) {
    const step = data.steps.find(candidate => candidate.number === number) || data.steps[0];
    page.step = step;
    setText('step-title', step.title);
    setText('step-change', step.change);
    setText('step-explained', step.explained);
    // Who sleeps lies anyway.
    if (!data.asleep) show('ask-lying', step.lying);
    setText('step-length', step.length);
    setText('step-loudness', step.loudness);
    fill(
      'step-sounds',
      step.sounds.map(sound => soundRow(sound, data.pictures[sound.scan])),
    );
    show('looks-explained', Object.keys(data.pictures).length > 0);
    bars().forEach(function (bar) {
      bar.classList.toggle('today', bar.getAttribute('data-step') === String(step.number));
    });
    document.querySelectorAll('[data-choose]').forEach(function (button) {
      const chosen = button.getAttribute('data-choose') === String(step.number);
      button.setAttribute('aria-pressed', String(chosen));
    });
    page.checkThere(step);
  }

  function bars() {
    return document.querySelectorAll('.stairs rect');
  }

  return { prepare, choose };
}

/**
 * One sound: its name and length, how it comes and goes, and its picture.
 *
 * @param {PageData['steps'][number]['sounds'][number]} sound
 * @param {PageData['pictures'][string] | undefined} picture
 */
function soundRow(sound, picture) {
  const row = document.createElement('li');
  const name = document.createElement('div');
  name.className = 'name';
  const isolated = document.createElement('bdi');
  isolated.textContent = sound.name;
  name.append(isolated);
  const facts = document.createElement('span');
  facts.className = 'length';
  facts.textContent = picture ? sound.length + ' · ' + picture.words : sound.length;
  const looks = document.createElement('div');
  looks.className = 'sound-looks';
  drawLooks(looks, picture, 'both');
  row.append(name, facts, looks);
  return row;
}
