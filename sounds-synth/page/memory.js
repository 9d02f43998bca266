/**
 * What the page remembers on this device: whether the volume was set, and the practices so far.
 *
 * A page from a disk may have no storage at all (private window, strict settings); then everything
 * works as long as the page stays open. Nothing here leaves the device.
 */

/**
 * One practice, as noted.
 *
 * @typedef {object} Practice
 * @property {string} date Local day, `YYYY-MM-DD`.
 * @property {string} time Local time of the start, `HH:MM`.
 * @property {number} step
 * @property {boolean} volumeChecked Whether the reference was heard since the page was opened.
 * @property {number} playedSeconds Seconds heard.
 * @property {boolean} completed Played to its end.
 * @property {boolean} cut Cut off by the device at least once.
 * @property {'' | 'child' | 'outside' | 'declined' | 'parent'} stoppedBy `outside`: cut off and not gone on with;
 *   `declined`: the child was asked and chose not to; `parent`: for a child asleep.
 * @property {string} childMark 0 to 10, or `fine`, `some`, `much`; empty when not asked or not answered.
 * @property {string} parentMark 0 to 10; empty when not answered.
 * @property {string[]} signs Of {@link SIGNS} and {@link WORRIES}.
 * @property {string} note Empty unless the parent turned it on.
 */

/** What a parent may have seen: the names of the log's `signs` column. */
const SIGNS = ['ears', 'cried', 'left', 'froze'];

/** What stops all practice until the study has been called: more names of that column. */
const WORRIES = ['pain', 'ringing', 'upset_long', 'panic', 'seizure'];

/**
 * @typedef {object} Memory
 * @property {string} speaker Where the sound comes from; empty before the first visit.
 * @property {boolean} volumeSet
 * @property {number} volumeHeardAt When the volume was last checked, in ms since 1970; 0 for never.
 * @property {Practice[]} practices In the order of time.
 * @property {number} clearedAt How many practices there were when the study last said that a family
 *   with a worry may go on.
 * @property {() => void} keep Stores the fields above.
 * @property {() => boolean} lasting Whether they survive the page.
 */

/**
 * @param {string} kit Kit code: two kits opened in one browser keep apart.
 * @returns {Memory}
 */
function openMemory(kit) {
  const key = 'softknock ' + kit;
  let lasting = false;
  /** @type {Memory} */
  const memory = {
    speaker: '',
    volumeSet: false,
    volumeHeardAt: 0,
    practices: [],
    clearedAt: 0,
    keep: function () {
      const { speaker, volumeSet, volumeHeardAt, practices, clearedAt } = memory;
      const kept = JSON.stringify({ speaker, volumeSet, volumeHeardAt, practices, clearedAt });
      try {
        window.localStorage.setItem(key, kept);
        lasting = true;
      } catch {
        lasting = false;
      }
    },
    lasting: function () {
      return lasting;
    },
  };
  try {
    const kept = JSON.parse(window.localStorage.getItem(key) || '{}');
    if (typeof kept.speaker === 'string') memory.speaker = kept.speaker;
    if (kept.volumeSet === true) memory.volumeSet = true;
    if (typeof kept.volumeHeardAt === 'number') memory.volumeHeardAt = kept.volumeHeardAt;
    if (typeof kept.clearedAt === 'number') memory.clearedAt = kept.clearedAt;
    if (Array.isArray(kept.practices)) memory.practices = kept.practices.filter(isPractice);
  } catch {
    // No storage, or something else wrote there: start afresh.
  }
  memory.keep();
  return memory;
}

/**
 * @param {unknown} value
 * @returns {value is Practice}
 */
function isPractice(value) {
  if (typeof value !== 'object' || value === null) return false;
  const practice = /** @type {Record<string, unknown>} */ (value);
  const texts = ['date', 'time', 'stoppedBy', 'childMark', 'parentMark', 'note'];
  return (
    texts.every(name => typeof practice[name] === 'string') &&
    typeof practice.step === 'number' &&
    typeof practice.playedSeconds === 'number' &&
    typeof practice.completed === 'boolean' &&
    Array.isArray(practice.signs)
  );
}

/**
 * Whether practice has to stop until the study has been called.
 *
 * @param {Practice} practice
 */
function isWorrying(practice) {
  return practice.signs.some(sign => WORRIES.indexOf(sign) >= 0);
}
