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
 * @property {number} playedS Seconds heard.
 * @property {boolean} completed Played to its end.
 * @property {'' | 'child' | 'outside' | 'declined'} stoppedBy `outside`: cut off by the device;
 *   `declined`: the child was asked and chose not to.
 * @property {string} childMark 0 to 10, or `fine`, `some`, `much`; empty when not asked or not answered.
 * @property {string} parentMark 0 to 10; empty when not answered.
 * @property {string[]} signs Any of `ears`, `cried`, `left`, `froze`.
 * @property {boolean} worry Pain, ringing, worse hearing or long upset: stop all practice.
 */

/**
 * @typedef {object} Memory
 * @property {string} speaker Where the sound comes from; empty before the first visit.
 * @property {boolean} volumeSet
 * @property {Practice[]} practices In the order of time.
 * @property {number} clearedAt How many practices there were when the study team last said that a
 *   family with a worry may go on.
 * @property {() => void} keep Stores the fields above.
 * @property {boolean} lasting Whether they survive the page.
 */

/**
 * @param {string} kit Kit code: two kits opened in one browser keep apart.
 * @returns {Memory}
 */
function openMemory(kit) {
  const key = 'softknock ' + kit;
  /** @type {Memory} */
  const memory = {
    speaker: '',
    volumeSet: false,
    practices: [],
    clearedAt: 0,
    lasting: false,
    keep: function () {
      const { speaker, volumeSet, practices, clearedAt } = memory;
      const kept = JSON.stringify({ speaker, volumeSet, practices, clearedAt });
      try {
        window.localStorage.setItem(key, kept);
        memory.lasting = true;
      } catch {
        memory.lasting = false;
      }
    },
  };
  try {
    const kept = JSON.parse(window.localStorage.getItem(key) || '{}');
    if (typeof kept.speaker === 'string') memory.speaker = kept.speaker;
    if (kept.volumeSet === true) memory.volumeSet = true;
    if (typeof kept.clearedAt === 'number') memory.clearedAt = kept.clearedAt;
    if (Array.isArray(kept.practices)) memory.practices = kept.practices.filter(isPractice);
    memory.lasting = true;
  } catch {
    // No storage, or something else wrote there: start afresh.
  }
  return memory;
}

/**
 * @param {unknown} value
 * @returns {value is Practice}
 */
function isPractice(value) {
  if (typeof value !== 'object' || value === null) return false;
  const practice = /** @type {Record<string, unknown>} */ (value);
  return (
    typeof practice.date === 'string' &&
    typeof practice.step === 'number' &&
    typeof practice.completed === 'boolean' &&
    Array.isArray(practice.signs)
  );
}
