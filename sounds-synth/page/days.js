/**
 * Which steps are open on a day. The plan opens at most one new step a day; what was noted can only
 * make the proposal gentler, never louder.
 */

/** Marks from here on count as hard, on the scale from 0 to 10. */
const HARD_MARK = 6;

/** After this many days without practice, start again one step lower. */
const LONG_BREAK_DAYS = 4;

/** A child asleep who stirred has this mark from the parent, and goes one step back too. */
const STIRRED_MARK = 4;

/** From one night's sounds to the next evening's there are more hours than this. */
const NIGHT_HOURS = 12;

/**
 * @typedef {object} Today
 * @property {number} open Highest step that is open; 0 when practice has stopped.
 * @property {number} proposed The step to offer; 0 when none is open.
 * @property {'practice' | 'rest' | 'before' | 'over' | 'stopped'} kind
 */

/**
 * @param {PageData} data
 * @param {string} date Today, `YYYY-MM-DD`.
 * @param {Practice[]} practices
 * @param {boolean} lasting Whether all practices on this device are among them.
 * @returns {Today}
 */
function whatIsOpen(data, date, practices, lasting) {
  if (data.sessions.length === 0) return { open: 0, proposed: 0, kind: 'stopped' };
  const { decidedOn, nextStep } = data;
  // A plan that the study made from the log has all in it that was noted until then.
  const since = practices.filter(practice => decidedOn === null || practice.date > decidedOn);
  const dated = data.sessions.some(session => session.date !== null);
  const { open, kind } = dated ? openByDate(data, date) : openByPractice(data, date, since);
  const softest = lasting ? softestStep(data) : open;
  const fresh = decidedOn === null || nextStep === null ? softest : nextStep;
  const gentle = since.length === 0 ? fresh : gentleStep(data, date, since);
  return { open, proposed: Math.min(open, gentle), kind };
}

/**
 * On any day before the first one, the softest step: to start early does no harm.
 *
 * @param {PageData} data
 * @param {string} date
 * @returns {{ open: number, kind: Today['kind'] }}
 */
function openByDate(data, date) {
  if (data.scanDate !== null && date > data.scanDate) {
    return { open: highestStep(data.sessions), kind: 'over' };
  }
  const past = data.sessions.filter(session => session.date !== null && session.date <= date);
  if (past.length === 0) return { open: softestStep(data), kind: 'before' };
  const isPracticeDay = past[past.length - 1].date === date;
  return { open: highestStep(past), kind: isPracticeDay ? 'practice' : 'rest' };
}

/**
 * Without dates: each day with a practice moves the plan on by one day.
 *
 * @param {PageData} data
 * @param {string} date
 * @param {Practice[]} practices
 * @returns {{ open: number, kind: Today['kind'] }}
 */
function openByPractice(data, date, practices) {
  const played = practices.filter(practice => practice.completed && practice.date !== date);
  const earlier = new Set(played.map(practice => practice.date));
  const days = Array.from(new Set(data.sessions.map(session => session.day)));
  const reached = days.slice(0, earlier.size + 1);
  return {
    open: highestStep(data.sessions.filter(session => reached.indexOf(session.day) >= 0)),
    kind: 'practice',
  };
}

/**
 * The step that what was noted speaks for: one more than the highest so far, but only one new step a
 * day; one less after a hard practice or a long break.
 *
 * @param {PageData} data
 * @param {string} date
 * @param {Practice[]} practices
 */
function gentleStep(data, date, practices) {
  const heard = practices.filter(wasHeard);
  if (heard.length === 0) return softestStep(data);
  const last = heard[heard.length - 1];
  if (goesBack(data, last) || daysBetween(last.date, date) >= LONG_BREAK_DAYS) {
    return stepBelow(data, last.step);
  }
  const highest = highestStep(heard);
  const highestBefore = highestStep(heard.filter(practice => practice.date !== date));
  return highest > highestBefore ? highest : stepAbove(data, highest);
}

/** @param {PageData} data */
function softestStep(data) {
  return Math.min.apply(
    null,
    data.steps.map(step => step.number),
  );
}

/**
 * The next step up; half steps stand between whole ones. The top one when there is none.
 *
 * @param {PageData} data
 * @param {number} number
 */
function stepAbove(data, number) {
  const higher = data.steps.map(step => step.number).filter(other => other > number);
  return higher.length === 0 ? number : Math.min.apply(null, higher);
}

/**
 * The next step down; the softest one when there is none.
 *
 * @param {PageData} data
 * @param {number} number
 */
function stepBelow(data, number) {
  const lower = data.steps.map(step => step.number).filter(other => other < number);
  return Math.max.apply(null, lower.concat(softestStep(data)));
}

/**
 * What the device cut off says nothing about the child. A stop does, even in the very first moment.
 *
 * @param {Practice} practice
 */
function wasHeard(practice) {
  if (practice.stoppedBy === 'child' || practice.stoppedBy === 'parent') return true;
  return practice.playedSeconds > 0 && practice.stoppedBy !== 'outside';
}

/**
 * Whether the next step is a lower one. The sleep of a child who is scanned asleep comes first: stirring
 * is enough.
 *
 * @param {Pick<PageData, 'asleep'>} data
 * @param {Practice} practice
 */
function goesBack(data, practice) {
  return wasHard(practice) || (data.asleep && Number(practice.parentMark) >= STIRRED_MARK);
}

/** @param {Practice} practice */
function wasHard(practice) {
  return (
    practice.stoppedBy === 'child' ||
    practice.stoppedBy === 'parent' ||
    practice.signs.length > 0 ||
    practice.childMark === 'much' ||
    Number(practice.childMark) >= HARD_MARK ||
    Number(practice.parentMark) >= HARD_MARK
  );
}

/**
 * Whether the sounds have played in this night: once is enough for a child asleep. A night goes over
 * midnight, so hours count, not days.
 *
 * @param {Practice[]} practices
 * @param {Date} now
 */
function playedTonight(practices, now) {
  return practices.some(function (practice) {
    const hours =
      (now.getTime() - new Date(practice.date + 'T' + practice.time).getTime()) / 3600000;
    const isHeard = practice.playedSeconds > 0 || practice.stoppedBy === 'parent';
    return isHeard && hours >= 0 && hours < NIGHT_HOURS;
  });
}

/** @param {readonly { step: number }[]} sessions */
function highestStep(sessions) {
  return Math.max.apply(null, sessions.map(session => session.step).concat(0));
}

/**
 * @param {string} from `YYYY-MM-DD`.
 * @param {string} to
 */
function daysBetween(from, to) {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86400000);
}

/** Local day of a moment, `YYYY-MM-DD`. @param {Date} moment */
function localDay(moment) {
  return [
    moment.getFullYear(),
    String(moment.getMonth() + 1).padStart(2, '0'),
    String(moment.getDate()).padStart(2, '0'),
  ].join('-');
}

/** Local time of a moment, `HH:MM`. @param {Date} moment */
function localTime(moment) {
  return (
    String(moment.getHours()).padStart(2, '0') + ':' + String(moment.getMinutes()).padStart(2, '0')
  );
}
