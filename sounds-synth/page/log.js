/**
 * The log: as a table, as `log.csv` for the study, and as a code to read out.
 */

/** @param {Page} page */
function createLog(page) {
  const { data, memory } = page;

  /** The screen as it must look when it comes. */
  function prepare() {
    const { practices } = memory;
    const isEmpty = practices.length === 0;
    show('log-empty', isEmpty);
    show('log-full', !isEmpty);
    show('log-lasting', !isEmpty && !memory.lasting());
    fill('log-rows', practices.map(tableRow));
    fill('log-code', logCode(data.kit, practices).map(codeRow));
  }

  /** @param {Practice} practice */
  function tableRow(practice) {
    const { words } = data;
    const row = document.createElement('tr');
    const ended = practice.completed
      ? words.logYes
      : practice.stoppedBy === 'declined'
        ? words.logDeclined
        : clockTime(practice.playedSeconds);
    const signs = practice.signs.map(sign => data.signs[sign] || sign).join(', ');
    for (const text of [
      practice.date,
      String(practice.step),
      ended,
      ...(data.childMark === 'none' ? [] : [scaleMark(practice.childMark)]),
      data.parentMarks[practice.parentMark] || practice.parentMark,
      practice.note === '' ? signs : signs + (signs === '' ? '' : '. ') + practice.note,
    ]) {
      const cell = document.createElement('td');
      cell.textContent = text;
      row.append(cell);
    }
    return row;
  }

  /** @param {string} code */
  function codeRow(code) {
    const row = document.createElement('li');
    row.textContent = code;
    return row;
  }

  function download() {
    const file = new Blob([logCsv(data.kit, data.logColumns, memory.practices)], {
      type: 'text/csv;charset=utf-8',
    });
    const link = document.createElement('a');
    link.href = URL.createObjectURL(file);
    link.download = 'log.csv';
    link.click();
    window.setTimeout(function () {
      URL.revokeObjectURL(link.href);
    }, 60000);
  }

  return {
    prepare,
    download,
    print: function () {
      window.print();
    },
  };
}

/**
 * The log as CSV (RFC 4180).
 *
 * @param {string} kit
 * @param {readonly string[]} columns Names of the columns, in order.
 * @param {Practice[]} practices
 */
function logCsv(kit, columns, practices) {
  const rows = practices.map(function (practice) {
    const cells = csvCells(kit, practice);
    return columns.map(column => csvText(cells[column] || '')).join(',');
  });
  return [columns.join(',')].concat(rows).join('\r\n') + '\r\n';
}

/**
 * @param {string} kit
 * @param {Practice} practice
 * @returns {Record<string, string>}
 */
function csvCells(kit, practice) {
  return {
    kit,
    step: String(practice.step),
    date: practice.date,
    time: practice.time,
    volume_set: yesNo(practice.volumeChecked),
    completed: yesNo(practice.completed),
    child_rating: scaleMark(practice.childMark),
    parent_rating: practice.parentMark,
    signs: practice.signs.concat(practice.stoppedBy === 'child' ? ['asked_stop'] : []).join(';'),
    stopped_by: practice.stoppedBy === 'declined' ? 'child' : practice.stoppedBy,
    interrupted: yesNo(practice.cut || practice.stoppedBy === 'outside'),
    volume_touched: '',
    note: practice.note,
  };
}

/**
 * One cell. A spreadsheet must not take a note for a formula: an apostrophe before it keeps it text.
 *
 * @param {string} text
 */
function csvText(text) {
  const plain = text.replace(/[\r\n]+/g, ' ');
  const safe = /^[=+\-@\t]/.test(plain) ? "'" + plain : plain;
  return /[",]/.test(safe) ? '"' + safe.replace(/"/g, '""') + '"' : safe;
}

/** @param {boolean} value */
function yesNo(value) {
  return value ? 'yes' : 'no';
}
