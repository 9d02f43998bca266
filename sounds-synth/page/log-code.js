/**
 * The log as a code to read out on the phone: rows of eight characters, each with its own check
 * character, so that a mistake is found while that row is being read.
 *
 * Layout, in bits, most significant first:
 *
 *   version 3 · practices 6 · day of the first 14 (days after 2020-01-01)
 *   then for each practice:
 *     days after the one before 2 (0, 1, 2; 3: the day itself follows in 14)
 *     half of the day 1 (1: from noon)
 *     step after the one before 2 (0: same, 1: next, 2: one lower; 3: twice the number follows
 *       in 8, since there are half steps)
 *     how it ended 3 (see OUTCOMES) · cut 1 · volume checked 1
 *     child's mark 4 · parent's mark 4 (0 to 10, 15: none)
 *     any signs 1, and if so one bit for each name in SIGNS and WORRIES
 *
 * Each row holds 34 bits as seven digits to the base 31 and one check digit: weights are powers of 3
 * modulo 31. As 31 is prime and 3 a primitive root of it, every wrong character and every swap of two
 * neighbours changes the sum (the principle of the pure systems of ISO/IEC 7064). The sum also takes
 * in the kit's code and the row's number. `src/kit/log-code.ts` reads the code.
 */

/** 0 to 30. Without I, L, O, U and Z, which are mistaken for 1, 0, V and 2. */
const CODE_DIGITS = '0123456789ABCDEFGHJKMNPQRSTVWXY';

const CODE_VERSION = 1;
const ROW_BITS = 34;
const ROW_DIGITS = 7;

/** Most practices in a code: the latest ones. */
const CODE_PRACTICES = 14;

/** Position is the value. */
const OUTCOMES = ['completed', 'child', 'outside', 'declined', 'parent'];

const FIRST_DAY = '2020-01-01';
const NO_MARK = 15;

/** What a child who points at a face means, on the scale from 0 to 10. */
const FACE_MARKS = { fine: '0', some: '4', much: '7' };

/**
 * @param {string} kit
 * @param {Practice[]} practices
 * @returns {string[]} Rows such as `7K3M-0A2P`.
 */
function logCode(kit, practices) {
  const latest = practices.slice(-CODE_PRACTICES);
  const bits = codeBits(latest);
  const rows = [];
  for (let start = 0; start < bits.length; start += ROW_BITS) {
    const digits = rowDigits(bits.slice(start, start + ROW_BITS));
    digits.push(checkDigit(kit, rows.length, digits));
    const text = digits.map(digit => CODE_DIGITS.charAt(digit)).join('');
    rows.push(text.slice(0, 4) + '-' + text.slice(4));
  }
  return rows;
}

/** @param {Practice[]} practices */
function codeBits(practices) {
  /** @type {number[]} */
  const bits = [];
  /**
   * @param {number} value
   * @param {number} width
   */
  function put(value, width) {
    for (let place = width - 1; place >= 0; place--) bits.push(Math.floor(value / 2 ** place) % 2);
  }

  put(CODE_VERSION, 3);
  put(practices.length, 6);
  let day = practices.length > 0 ? dayNumber(practices[0].date) : 0;
  let step = 0;
  put(day, 14);
  for (const practice of practices) {
    const later = dayNumber(practice.date) - day;
    const isNear = later >= 0 && later <= 2;
    put(isNear ? later : 3, 2);
    if (!isNear) put(dayNumber(practice.date), 14);
    put(practice.time >= '12:00' ? 1 : 0, 1);
    const rise = [0, 1, -1].indexOf(practice.step - step);
    put(rise >= 0 ? rise : 3, 2);
    if (rise < 0) put(2 * practice.step, 8);
    put(OUTCOMES.indexOf(practice.stoppedBy || 'completed'), 3);
    put(practice.cut ? 1 : 0, 1);
    put(practice.volumeChecked ? 1 : 0, 1);
    put(markOf(practice.childMark), 4);
    put(markOf(practice.parentMark), 4);
    put(practice.signs.length > 0 ? 1 : 0, 1);
    if (practice.signs.length > 0) {
      for (const sign of SIGNS.concat(WORRIES)) put(practice.signs.indexOf(sign) >= 0 ? 1 : 0, 1);
    }
    day = dayNumber(practice.date);
    step = practice.step;
  }
  return bits;
}

/** @param {number[]} bits */
function rowDigits(bits) {
  let value = 0;
  for (let place = 0; place < ROW_BITS; place++) value = value * 2 + (bits[place] || 0);
  const digits = [];
  for (let place = 0; place < ROW_DIGITS; place++) {
    digits.unshift(value % CODE_DIGITS.length);
    value = Math.floor(value / CODE_DIGITS.length);
  }
  return digits;
}

/**
 * @param {string} kit
 * @param {number} row
 * @param {number[]} digits
 */
function checkDigit(kit, row, digits) {
  let sum = row;
  for (const character of kit) sum = (sum * 3 + character.charCodeAt(0)) % CODE_DIGITS.length;
  for (const digit of digits) sum = (sum * 3 + digit) % CODE_DIGITS.length;
  // The check digit has weight 1, the digit before it weight 3.
  return (CODE_DIGITS.length - ((sum * 3) % CODE_DIGITS.length)) % CODE_DIGITS.length;
}

/** @param {string} date */
function dayNumber(date) {
  return Math.min(2 ** 14 - 1, Math.max(0, daysBetween(FIRST_DAY, date)));
}

/** @param {string} mark */
function markOf(mark) {
  const number = Number(scaleMark(mark));
  return mark === '' || !(number >= 0 && number <= 10) ? NO_MARK : number;
}

/**
 * A mark on the scale from 0 to 10; empty stays empty.
 *
 * @param {string} mark
 */
function scaleMark(mark) {
  return FACE_MARKS[/** @type {keyof typeof FACE_MARKS} */ (mark)] || mark;
}
