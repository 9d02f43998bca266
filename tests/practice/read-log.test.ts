/** A family's log: what is read of it, what is not, and what is said of that, row by row. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { LOG_COLUMNS, type LogColumn } from '../../src/practice/log-columns.js';
import type { LogEntry } from '../../src/practice/log-entry.js';
import { type LogReading, readLog } from '../../src/practice/read-log.js';
import { HEADER, KIT, logOf, logRow, read, STEPS, TODAY } from '../helpers/family-log.js';
import { refusal } from '../helpers/refusal.js';

const CALM_ENTRY: LogEntry = {
  line: 2,
  date: '2027-06-01',
  time: '18:00',
  step: 1,
  volumeSet: true,
  completed: true,
  childRating: 1,
  parentRating: 0,
  signs: [],
  stoppedBy: null,
  interrupted: false,
  volumeTouched: false,
  isDoubtful: false,
};

/** Problems as lines of text. */
const told = ({ problems }: LogReading): string[] =>
  problems.map(
    ({ line, column, found, used }) =>
      `${line}${column === null ? '' : ` ${column}`}: ${found} -> ${used}`,
  );

const linesOf = ({ entries }: LogReading): number[] => entries.map(({ line }) => line);

test('a row as it should be', () => {
  expect(read(logOf(logRow()))).toEqual({ entries: [CALM_ENTRY], problems: [], redElsewhere: [] });
});

test('what is not noted is null, and no reason for doubt', () => {
  const empty = Object.fromEntries(LOG_COLUMNS.slice(3).map(name => [name, '']));
  expect(read(logOf(logRow(empty)))).toEqual({
    entries: [
      {
        ...CALM_ENTRY,
        time: null,
        volumeSet: null,
        completed: null,
        childRating: null,
        parentRating: null,
        interrupted: null,
        volumeTouched: null,
      },
    ],
    problems: [],
    redElsewhere: [],
  });
});

describe('tables as spreadsheets write them', () => {
  const vector = (name: string): string =>
    readFileSync(path.join(import.meta.dirname, '../vectors/python-csv', name), 'utf8');

  test.each(['excel.csv', 'excel-tab.tsv', 'semicolons.csv'])('%s', name => {
    const { entries, problems, redElsewhere } = read(vector(name));
    expect([problems, redElsewhere]).toEqual([[], []]);
    expect(entries).toEqual([
      CALM_ENTRY,
      {
        ...CALM_ENTRY,
        line: 3,
        date: '2027-06-02',
        time: '07:30',
        step: 2,
        completed: false,
        childRating: 6,
        parentRating: 7,
        signs: ['ears', 'cried', 'asked_stop'],
        stoppedBy: 'child',
      },
      {
        ...CALM_ENTRY,
        line: 4,
        date: '2027-06-03',
        time: null,
        step: 2,
        childRating: null,
        parentRating: 3,
        volumeTouched: null,
      },
      {
        ...CALM_ENTRY,
        // The note before it has two lines.
        line: 6,
        date: '2027-06-04',
        time: '12:00',
        step: 2.5,
        volumeSet: false,
        childRating: 10,
        parentRating: 2,
        signs: ['ringing'],
        volumeTouched: true,
      },
      {
        ...CALM_ENTRY,
        line: 7,
        date: '2027-06-05',
        time: '09:05',
        step: 3,
        completed: false,
        childRating: 0,
        stoppedBy: 'outside',
        interrupted: true,
      },
    ]);
  });

  test('rows that were taken for one cell (a spreadsheet that expects semicolons)', () => {
    const row = logRow({ signs: 'ears;cried', note: '"so ""so"", la la"' });
    const wrapped = `${HEADER}\r\n"${row.replaceAll('"', '""')}"\r\n`;
    for (const text of [wrapped, wrapped.replace(HEADER, `"${HEADER}"`)]) {
      const { entries, problems } = read(text);
      expect(problems).toEqual([]);
      expect(entries).toEqual([{ ...CALM_ENTRY, signs: ['ears', 'cried'] }]);
    }
  });

  test.each(['\r\n', '\n', '\r'])('line ends %j, with a byte-order mark', end => {
    const text = `\uFEFF${logOf(logRow(), logRow({ step: '2' })).replaceAll('\r\n', end)}`;
    expect(linesOf(read(text))).toEqual([2, 3]);
    expect(read(text).problems).toEqual([]);
  });

  test('semicolons and a decimal comma', () => {
    const text = logOf(logRow({ step: '2,5' })).replace(HEADER, HEADER.replaceAll(',', ';'));
    const [header, row] = text.split('\r\n');
    const cells = row!.replace('2,5', '2#5').replaceAll(',', ';').replace('#', ',');
    const reading = read(`${header!}\r\n${cells}\r\n`);
    expect(reading.entries).toEqual([{ ...CALM_ENTRY, step: 2.5 }]);
    expect(told(reading)).toEqual(['2 step: "2,5" -> read as 2.5']);
  });

  test('empty rows are passed over', () => {
    const reading = read(logOf('', logRow(), ',,,,,,,,,,,,', '  ', logRow({ step: '2' })));
    expect(linesOf(reading)).toEqual([3, 6]);
    expect(reading.problems).toEqual([]);
  });

  test('a second log below the first', () => {
    const reading = read(logOf(logRow()) + logOf(logRow({ date: '2027-06-02' })));
    expect(linesOf(reading)).toEqual([2, 4]);
    expect(told(reading)).toEqual(['3: the header again -> passed over']);
  });
});

describe('the header', () => {
  test('names in any order and case', () => {
    const text = `Completed;Date;Kit;STEP;child rating;signs\nyes;2027-06-01;${KIT};1;2;\n`;
    const { entries } = read(text);
    expect(entries).toMatchObject([{ step: 1, completed: true, childRating: 2 }]);
  });

  test('missing columns are said once; without signs nothing is comfortable', () => {
    const reading = read(
      `kit,step,date,completed\n${KIT},1,2027-06-01,yes\n${KIT},2,2027-06-02,yes`,
    );
    expect(told(reading)).toEqual([
      '1 time: no such column -> not known of any session',
      '1 volume_set: no such column -> not known of any session',
      '1 child_rating: no such column -> not known of any session',
      '1 parent_rating: no such column -> not known of any session',
      '1 signs: no such column -> not known of any session; none can count as comfortable',
      '1 stopped_by: no such column -> not known of any session',
      '1 interrupted: no such column -> not known of any session',
      '1 volume_touched: no such column -> not known of any session',
    ]);
    expect(reading.entries.map(({ isDoubtful }) => isDoubtful)).toEqual([true, true]);
  });

  test('more columns are said once', () => {
    const reading = read(
      `${HEADER},mood,weather\n${logRow()},good,sun\n${logRow({ step: '2' })},,\n`,
    );
    expect(told(reading)).toEqual(['1: more columns: "mood", "weather" -> not read']);
    expect(reading.entries).toHaveLength(2);
    expect(reading.entries[0]).toEqual(CALM_ENTRY);
  });

  test.each([
    ['nothing', '', 'log.csv:1', 'nothing'],
    ['blank lines', '\uFEFF\r\n\r\n', 'log.csv:1', 'nothing'],
    [
      'required columns that are missing',
      '\nstep,mood\n1,x\n',
      'log.csv:2',
      'no column kit, date, completed in "step, mood"',
    ],
    ['no header', logRow(), 'log.csv:1', /^no column kit, step, date, completed in /],
    [
      'a column twice',
      `${HEADER},signs\n${logRow()},pain`,
      'log.csv:1',
      'more than one column signs',
    ],
    ['no rows', logOf(), 'log.csv kit', 'no rows'],
    [
      'only rows of other kits',
      logOf(logRow({ kit: 'C4RT-92HJ' }), logRow({ kit: '' })),
      'log.csv kit',
      'rows of "C4RT-92HJ", no kit',
    ],
  ])('%s is refused', (_, text, where, found) => {
    const error = refusal(() => read(text));
    expect([error.code, error.exitCode]).toEqual(['BAD_LOG', 2]);
    expect(error.problems).toHaveLength(1);
    expect(error.problems[0]!.where).toBe(where);
    expect(error.problems[0]!.found).toMatch(found);
  });
});

describe('cells that can be meant in one way only are understood, and noted', () => {
  test.each<[LogColumn, string, keyof LogEntry, unknown]>([
    ['completed', 'YES', 'completed', true],
    ['completed', 'y', 'completed', true],
    ['completed', 'TRUE', 'completed', true],
    ['completed', '1', 'completed', true],
    ['completed', 'No', 'completed', false],
    ['interrupted', 'n', 'interrupted', false],
    ['volume_set', 'false', 'volumeSet', false],
    ['volume_touched', '0', 'volumeTouched', false],
    ['time', '7:05', 'time', '07:05'],
    ['time', '18:00:59', 'time', '18:00'],
    ['time', '5:30 PM', 'time', '17:30'],
    ['time', '5:30\u202Fp.m.', 'time', '17:30'],
    ['time', '12:05 am', 'time', '00:05'],
    ['time', '12:05PM', 'time', '12:05'],
    ['child_rating', '3.0', 'childRating', 3],
    ['parent_rating', '+3', 'parentRating', 3],
    ['parent_rating', '10.00', 'parentRating', 10],
    ['step', '02', 'step', 2],
    ['step', '2.50', 'step', 2.5],
    ['stopped_by', 'Child', 'stoppedBy', 'child'],
    ['signs', 'Ears; asked-stop', 'signs', ['ears', 'asked_stop']],
    ['signs', 'hurt self|cried', 'signs', ['cried', 'hurt_self']],
    ['signs', 'None', 'signs', []],
    // Formula characters, and what keeps spreadsheets from seeing formulas.
    ['completed', "'yes", 'completed', true],
    ['step', "'2", 'step', 2],
    ['date', '="2027-06-02"', 'date', '2027-06-02'],
    ['date', "'2027-06-02", 'date', '2027-06-02'],
    ['stopped_by', '@child', 'stoppedBy', 'child'],
    ['signs', '-pain', 'signs', ['pain']],
    ['signs', '=pain', 'signs', ['pain']],
    ['signs', '+ears', 'signs', ['ears']],
    ['kit', '7kmp 4xcw', 'step', 1],
    ['kit', '=7KMP–4XCW', 'step', 1],
  ])('%s %j', (column, cell, field, value) => {
    const { entries, problems, redElsewhere } = read(logOf(logRow({ [column]: cell })));
    expect(entries).toHaveLength(1);
    expect(entries[0]![field]).toEqual(value);
    expect(entries[0]!.isDoubtful).toBe(false);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ line: 2, column });
    expect(problems[0]!.used).toMatch(/^read as /);
    expect(redElsewhere).toEqual([]);
  });

  test('white space around a cell does not matter', () => {
    const { entries, problems } = read(
      logOf(logRow({ completed: ' yes\u00A0', date: ' 2027-06-01' })),
    );
    expect([entries, problems]).toEqual([[CALM_ENTRY], []]);
  });
});

describe('cells that cannot be read are not known, and make the session doubtful', () => {
  test.each<[LogColumn, string, keyof LogEntry, unknown]>([
    ['completed', 'maybe', 'completed', null],
    ['completed', 'yes?', 'completed', null],
    ['completed', '2', 'completed', null],
    ['completed', '=1+1', 'completed', null],
    ['completed', '=1=1', 'completed', null],
    ['interrupted', 'ja', 'interrupted', null],
    ['volume_touched', '-', 'volumeTouched', null],
    ['volume_set', 'yes no', 'volumeSet', null],
    ['child_rating', '11', 'childRating', null],
    ['child_rating', '-1', 'childRating', null],
    ['child_rating', "'-1", 'childRating', null],
    ['child_rating', '2.5', 'childRating', null],
    ['child_rating', '1-2', 'childRating', null],
    ['child_rating', '2/10', 'childRating', null],
    ['child_rating', '1e0', 'childRating', null],
    ['child_rating', '0x1', 'childRating', null],
    ['parent_rating', 'fine', 'parentRating', null],
    ['parent_rating', '٣', 'parentRating', null],
    ['parent_rating', '-', 'parentRating', null],
    ['time', '25:00', 'time', null],
    ['time', '12:60', 'time', null],
    ['time', '17:30 pm', 'time', null],
    ['time', '0:30 am', 'time', null],
    ['time', '17.30', 'time', null],
    ['time', 'evening', 'time', null],
    ['time', '9', 'time', null],
    ['stopped_by', 'mum', 'stoppedBy', null],
    ['signs', '-', 'signs', []],
    ['signs', ';', 'signs', []],
    ['signs', 'n/a', 'signs', []],
    ['signs', 'grumpy', 'signs', []],
    ['signs', 'grumpy; ears', 'signs', ['ears']],
    ['signs', 'covered ears', 'signs', ['ears']],
    ['signs', '=1+1', 'signs', []],
    // Misspelt, or among other words: a red sign is not overlooked.
    ['signs', 'siezure', 'signs', ['seizure']],
    ['signs', 'a little pain!', 'signs', ['pain']],
    ['signs', 'hurt herself', 'signs', ['hurt_self']],
  ])('%s %j', (column, cell, field, value) => {
    const { entries, problems } = read(logOf(logRow({ [column]: cell })));
    expect(entries).toHaveLength(1);
    expect(entries[0]![field]).toEqual(value);
    expect(entries[0]!.isDoubtful).toBe(true);
    expect(problems.filter(problem => problem.column === column)).toHaveLength(1);
  });

  test('it is said in words', () => {
    const reading = read(
      logOf(logRow({ completed: 'maybe', child_rating: '11', signs: 'ears;grumpy;far\u001b[31m' })),
    );
    expect(told(reading)).toEqual([
      '2 completed: "maybe", which is neither yes nor no -> not known; the session cannot count as comfortable',
      '2 child_rating: "11", which is no whole number from 0 to 10 -> not known; the session cannot count as comfortable',
      '2 signs: "ears;grumpy;far [31m"; not in the list of signs: "grumpy", "far [31m" -> ears; the session cannot count as comfortable',
    ]);
    // A rating that is not on the scale is a slip of the pen: it tells nothing, also no pain.
    expect(reading.redElsewhere).toEqual([]);
  });
});

describe('rows that are no sessions of the kit', () => {
  test.each<[LogColumn, string, string]>([
    [
      'date',
      '14/06/2027',
      '"14/06/2027", which is no day as YYYY-MM-DD -> row not used; write it like 2027-06-14',
    ],
    [
      'date',
      '2027-6-1',
      '"2027-6-1", which is no day as YYYY-MM-DD -> row not used; write it like 2027-06-14',
    ],
    [
      'date',
      '2027-02-29',
      '"2027-02-29", which is no day as YYYY-MM-DD -> row not used; write it like 2027-06-14',
    ],
    [
      'date',
      '46539',
      '"46539", which is no day as YYYY-MM-DD -> row not used; write it like 2027-06-14',
    ],
    [
      'date',
      '2027-06-15',
      '"2027-06-15", which is after 2027-06-14, today -> row not used; correct the date',
    ],
    ['date', '', 'no date -> row not used; write the day as YYYY-MM-DD'],
    [
      'step',
      '9',
      '"9", which is no step of this kit -> row not used; the steps are 1, 2, 2.5, 3, 4',
    ],
    [
      'step',
      '-1',
      '"-1", which is no step of this kit -> row not used; the steps are 1, 2, 2.5, 3, 4',
    ],
    [
      'step',
      'one',
      '"one", which is no step of this kit -> row not used; the steps are 1, 2, 2.5, 3, 4',
    ],
    ['step', '', 'no step -> row not used; the steps are 1, 2, 2.5, 3, 4'],
    ['kit', 'C4RT-92HJ', '"C4RT-92HJ", which is not this kit -> row not used'],
    ['kit', '', `no kit -> row not used; write ${KIT} if it is of this kit`],
  ])('%s %j', (column, cell, words) => {
    const reading = read(logOf(logRow(), logRow({ [column]: cell })));
    expect(reading.entries).toEqual([CALM_ENTRY]);
    expect(told(reading)).toEqual([`3 ${column}: ${words}`]);
    expect(reading.redElsewhere).toEqual([]);
  });

  test('steps without gaps are named as runs', () => {
    const { problems } = readLog(logOf(logRow(), logRow({ step: '99' })), {
      kit: KIT,
      steps: [3, 1, 2, 4, 4.5, 5, 6],
      today: TODAY,
      file: 'log.csv',
    });
    expect(problems[0]!.used).toBe('row not used; the steps are 1 to 4, 4.5, 5, 6');
  });
});

describe('what stops practice is seen wherever it stands', () => {
  test.each<[string, Partial<Record<LogColumn, string>>]>([
    ['a red sign on a day that cannot be read', { date: '1.6.2027', signs: 'pain' }],
    ['a red sign tomorrow', { date: '2027-06-15', signs: 'ears;ringing' }],
    ['a red rating at a step that the kit has not', { step: '9', child_rating: '8' }],
    ['a red rating of a parent', { step: '', parent_rating: '10' }],
    ['no kit', { kit: '', signs: 'panic' }],
    ['one wrong character in the code of the kit', { kit: '7KMP-4XCV', signs: 'panic' }],
    ['two characters swapped in it', { kit: '7KPM-4XCW', signs: 'panic' }],
    ['a character missing in it', { kit: '7KMP-4XC', signs: 'panic' }],
    ['a red sign in the wrong column', { stopped_by: 'seizure' }],
    ['a rating between two marks', { child_rating: '8-9' }],
    ['a rating of ten', { parent_rating: '9 of 10' }],
    ['a decimal rating', { parent_rating: '9.5' }],
    ['a red sign beside a cell too many', { stopped_by: ',pain' }],
    [
      'a red rating beside a cell too many',
      { volume_set: 'yes,yes', child_rating: '2', parent_rating: '9,' },
    ],
    ['a row that is not cut into cells', { kit: `${KIT} 1 pain` }],
  ])('%s', (_, cells) => {
    const reading = read(logOf(logRow(), logRow({ date: '2027-06-02', ...cells })));
    const isRed = reading.entries.some(
      ({ signs, childRating, parentRating }) =>
        signs.some(sign => ['pain', 'ringing', 'panic', 'seizure'].includes(sign)) ||
        (childRating ?? 0) >= 8 ||
        (parentRating ?? 0) >= 8,
    );
    expect(isRed ? [3] : reading.redElsewhere).toEqual([3]);
    if (!isRed) expect(told(reading).at(-1)).toContain('after which all practice stops');
  });

  test('a study may set the rating lower', () => {
    const text = logOf(logRow(), logRow({ step: '9', child_rating: '7' }));
    const options = { kit: KIT, steps: STEPS, today: TODAY, file: 'log.csv' };
    expect(readLog(text, options).redElsewhere).toEqual([]);
    expect(readLog(text, { ...options, redMark: 7 }).redElsewhere).toEqual([3]);
  });

  test('the number of a step is no rating, in a row with a comma in its note', () => {
    const text = logOf(logRow({ step: '9', note: 'tired, but fine' }), logRow({ step: '10' }));
    const options = { kit: KIT, steps: [8, 9], today: TODAY, file: 'log.csv' };
    expect(readLog(text, options)).toMatchObject({ entries: [{ step: 9 }], redElsewhere: [] });
  });

  test('another kit’s signs are not this family’s', () => {
    const other = logRow({ kit: 'C4RT-92HJ', signs: 'seizure', child_rating: '10' });
    expect(read(logOf(logRow(), other)).redElsewhere).toEqual([]);
  });

  test('it is not told twice: a red session that is used is an entry', () => {
    expect(read(logOf(logRow({ signs: 'pain;odd', child_rating: '9' }))).redElsewhere).toEqual([]);
  });
});

describe('order, and rows that tell of the same session', () => {
  test('sessions are in the order of day, time and line', () => {
    const reading = read(
      logOf(
        logRow({ date: '2027-06-03' }),
        logRow({ date: '2027-06-01', time: '' }),
        logRow({ date: '2027-06-01', time: '19:00' }),
        logRow({ date: '2027-06-01', time: '07:00', step: '2' }),
        logRow({ date: '2027-06-01', time: '07:00', step: '1' }),
        logRow({ date: '2027-05-31' }),
      ),
    );
    expect(linesOf(reading)).toEqual([7, 5, 6, 4, 3, 2]);
    expect(told(reading)).toEqual([
      '3 date: 2027-06-01, which is before the row above it; 1 more like it -> all sessions in the order of their dates',
    ]);
  });

  test('the same row again counts once, whatever its note', () => {
    const reading = read(logOf(logRow(), logRow({ note: 'again' }), logRow()));
    expect(reading.entries).toEqual([CALM_ENTRY]);
    expect(told(reading)).toEqual([
      '3: the same as line 2 -> line 2, once',
      '4: the same as line 2 -> line 2, once',
    ]);
  });

  test.each<[string, Partial<Record<LogColumn, string>>]>([
    ['a higher rating', { child_rating: '5' }],
    ['a higher rating of the parent', { parent_rating: '2' }],
    ['a sign', { signs: 'ears', child_rating: '0' }],
    ['a red sign', { signs: 'pain', child_rating: '' }],
    ['not played to the end', { completed: 'no' }],
    ['perhaps not played to the end', { completed: '' }],
    ['stopped by the child', { stopped_by: 'child' }],
  ])('of two that differ the harder one stays, as doubtful: %s', (_, cells) => {
    const [calm, hard] = [logRow(), logRow(cells)];
    for (const [rows, line] of [
      [[calm, hard], 3],
      [[hard, calm], 2],
    ] as const) {
      const reading = read(logOf(...rows));
      expect(reading.entries).toHaveLength(1);
      expect(reading.entries[0]).toMatchObject({ line, isDoubtful: true });
      expect(told(reading)).toEqual([
        `2: the same session as line 3, told in another way -> line ${line}, which is harder; the session cannot count as comfortable`,
        `3: the same session as line 2, told in another way -> line ${line}, which is harder; the session cannot count as comfortable`,
      ]);
    }
  });

  test('two that are equally hard but differ make the session doubtful too', () => {
    const { entries } = read(logOf(logRow(), logRow({ interrupted: 'yes' })));
    expect(entries).toMatchObject([{ line: 2, isDoubtful: true }]);
  });

  test('red goes before any number of other signs', () => {
    const many = logRow({ signs: 'ears;cried;left;froze;asked_stop', child_rating: '7' });
    const { entries } = read(logOf(many, logRow({ signs: 'ringing', child_rating: '' })));
    expect(entries).toMatchObject([{ line: 3, signs: ['ringing'] }]);
  });
});

describe('rows of a wrong shape', () => {
  test('quotation marks that are not closed: each line is a row, and its session doubtful', () => {
    const reading = read(logOf(logRow({ note: '"he said' }), logRow({ date: '2027-06-02' })));
    expect(reading.entries).toEqual([
      { ...CALM_ENTRY, isDoubtful: true },
      { ...CALM_ENTRY, line: 3, date: '2027-06-02' },
    ]);
    expect(told(reading)).toEqual([
      '2: a quotation mark without its partner -> each cell under its column; the session cannot count as comfortable',
    ]);
  });

  test('quotation marks around several rows hide none of them', () => {
    const reading = read(
      logOf(
        logRow({ note: '"he said' }),
        logRow({ date: '2027-06-02', signs: 'pain' }),
        logRow({ date: '2027-06-03', note: 'really"' }),
      ),
    );
    expect(reading.entries.map(({ line, signs }) => [line, ...signs])).toEqual([
      [2],
      [3, 'pain'],
      [4],
    ]);
    expect(told(reading)[0]).toBe(
      '2: a quotation mark around several rows -> each line as a row of its own',
    );
  });

  test('cells too many or too few', () => {
    const reading = read(
      logOf(
        logRow({ note: 'tired, but fine' }),
        `${KIT},1,2027-06-02,18:00,yes,yes,1,1`,
        // Only the note is missing.
        `${KIT},1,2027-06-03,18:00,yes,yes,1,1,,,no,no`,
      ),
    );
    expect(reading.entries.map(({ line, isDoubtful }) => [line, isDoubtful])).toEqual([
      [2, true],
      [3, true],
      [4, false],
    ]);
    expect(told(reading)).toEqual([
      '2: 14 cells, where the header has 13 -> each cell under its column; the session cannot count as comfortable',
      '3: 8 cells, where the header has 13 -> each cell under its column; the session cannot count as comfortable',
    ]);
  });
});

test('notes are in nothing that is handed on', () => {
  const note = 'Auntie Brightwater';
  const text = logOf(logRow({ note }), logRow({ note, step: '9' }), logRow({ note, signs: 'hm' }));
  expect(JSON.stringify(read(text))).not.toContain('Brightwater');
});
