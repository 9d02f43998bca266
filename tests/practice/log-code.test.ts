import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { entryOf, logRow } from '../../src/practice/coded-entry.js';
import { decodeLogCode } from '../../src/practice/log-code.js';
import { LOG_COLUMNS } from '../../src/practice/log-columns.js';
import type { LogEntry } from '../../src/practice/log-entry.js';
import { readLog } from '../../src/practice/read-log.js';
import { pageFunctions } from '../helpers/page-scripts.js';

const KIT = '7KMP-4XCW';

const { logCode, logCsv } = pageFunctions(
  ['memory.js', 'days.js', 'log-code.js', 'log.js'],
  ['logCode', 'logCsv'],
) as unknown as {
  logCode: (kit: string, practices: unknown[]) => string[];
  logCsv: (kit: string, columns: readonly string[], practices: unknown[]) => string;
};

const noted = fc.record({
  date: fc
    .integer({ min: 0, max: 400 })
    .map(n => new Date(Date.UTC(2027, 0, 1 + n)).toISOString().slice(0, 10)),
  time: fc.constantFrom('07:30', '11:59', '12:00', '19:05'),
  // Half steps too.
  step: fc.integer({ min: 2, max: 255 }).map(n => n / 2),
  volumeChecked: fc.boolean(),
  playedSeconds: fc.integer({ min: 0, max: 600 }),
  completed: fc.constant(false),
  cut: fc.boolean(),
  stoppedBy: fc.constantFrom('', 'child', 'outside', 'declined', 'parent'),
  childMark: fc.constantFrom('', '0', '3', '10', 'fine', 'some', 'much'),
  parentMark: fc.constantFrom('', '0', '7', '10'),
  signs: fc.subarray([
    'ears',
    'cried',
    'left',
    'froze',
    'pain',
    'ringing',
    'upset_long',
    'panic',
    'seizure',
  ]),
  note: fc.string(),
});

const calm = (date: string, step: number) => ({
  date,
  time: '18:00',
  step,
  volumeChecked: true,
  playedSeconds: 60,
  completed: true,
  cut: false,
  stoppedBy: '',
  childMark: '1',
  parentMark: '2',
  signs: [],
  note: 'Not part of any code',
});

const WEEK = ['01', '02', '03', '05', '06', '07', '08'].map((day, index) =>
  calm(`2027-06-${day}`, index + 1),
);

const FACES: Record<string, number> = { fine: 0, some: 4, much: 7 };

test('what the page codes, the study reads', () => {
  fc.assert(
    fc.property(fc.array(noted, { maxLength: 14 }), practices => {
      const read = decodeLogCode(logCode(KIT, practices).join(' '), KIT);
      expect(read).toEqual(
        practices.map(practice => ({
          date: practice.date,
          half: practice.time < '12:00' ? 'before noon' : 'from noon',
          step: practice.step,
          ended: practice.stoppedBy === '' ? 'completed' : practice.stoppedBy,
          cut: practice.cut,
          volumeChecked: practice.volumeChecked,
          childRating:
            practice.childMark === ''
              ? null
              : (FACES[practice.childMark] ?? Number(practice.childMark)),
          parentRating: practice.parentMark === '' ? null : Number(practice.parentMark),
          signs: practice.signs,
        })),
      );
    }),
    { seed: 6, numRuns: 300 },
  );
});

test('a calm week is five rows: 40 characters', () => {
  expect(logCode(KIT, WEEK)).toHaveLength(5);
});

test('the latest fourteen practices are coded', () => {
  const many = Array.from({ length: 20 }, (_, index) => calm('2027-06-01', index + 1));
  const read = decodeLogCode(logCode(KIT, many).join(''), KIT);
  expect(read.map(practice => practice.step)).toEqual(many.slice(-14).map(({ step }) => step));
});

describe('mistakes', () => {
  const DIGITS = '0123456789ABCDEFGHJKMNPQRSTVWXY';
  const rows = logCode(KIT, WEEK);
  const code = rows.join('').replaceAll('-', '');

  test('every single wrong character is found, and its row named', () => {
    let tried = 0;
    for (const [place, right] of Array.from(code).entries()) {
      for (const wrong of DIGITS) {
        if (wrong === right) continue;
        const misread = code.slice(0, place) + wrong + code.slice(place + 1);
        expect(problemsOf(misread)).toEqual([`row ${Math.floor(place / 8) + 1}`]);
        tried += 1;
      }
    }
    expect(tried).toBe(code.length * 30);
  });

  test('every swap of two neighbours is found, also across rows', () => {
    let tried = 0;
    for (let place = 0; place + 1 < code.length; place++) {
      if (code[place] === code[place + 1]) continue;
      const swapped =
        code.slice(0, place) + code[place + 1]! + code[place]! + code.slice(place + 2);
      expect(problemsOf(swapped).length).toBeGreaterThan(0);
      tried += 1;
    }
    expect(tried).toBeGreaterThan(30);
  });

  test('two rows in the wrong order, a row too few, and another kit’s code are found', () => {
    expect(problemsOf([rows[1], rows[0], ...rows.slice(2)].join(''))).toEqual(['row 1', 'row 2']);
    expect(problemsOf(rows.slice(0, -1).join(''))).toEqual(['code']);
    expect(problemsOf(rows.join('').slice(0, -2))).toEqual(['row 5']);
    expect(problemsOf('')).toEqual(['code']);
    expect(() => decodeLogCode(code, '7KMP-4XCX')).toThrow('not read correctly');
  });

  test('small letters, spaces and letters that sound alike do not matter', () => {
    const spoken = code
      .toLowerCase()
      .replaceAll('0', 'o')
      .replaceAll('1', 'l')
      .replace(/(....)/g, '$1 ');
    expect(decodeLogCode(spoken, KIT)).toEqual(decodeLogCode(code, KIT));
  });

  function problemsOf(typed: string): string[] {
    try {
      decodeLogCode(typed, KIT);
      return [];
    } catch (error) {
      return (error as { problems: { where: string }[] }).problems.map(({ where }) => where);
    }
  }
});

describe('log.csv from the page', () => {
  test('has the columns of the kit’s log, and a row as the code tells it', () => {
    const [header, row] = logCsv(KIT, LOG_COLUMNS, [{ ...WEEK[0]!, note: '' }]).split('\r\n');
    expect(header).toBe(LOG_COLUMNS.join(','));
    const cells = Object.fromEntries(
      LOG_COLUMNS.map((name, index) => [name, row!.split(',')[index]]),
    );
    expect(cells).toEqual({
      ...logRow(KIT, decodeLogCode(logCode(KIT, [WEEK[0]!]).join(''), KIT)[0]!),
      time: '18:00',
    });
  });

  test('is read as the code is: the same entries, times but for the half of the day', () => {
    fc.assert(
      fc.property(fc.array(noted, { minLength: 1, maxLength: 14 }), drawn => {
        // A code has at most one practice a half-day and step here; the page's log is not doubted.
        const practices = drawn.map((practice, i) => ({
          ...practice,
          date: new Date(Date.UTC(2027, 0, 1 + i)).toISOString().slice(0, 10),
          completed: practice.stoppedBy === '',
        }));
        const options = {
          kit: KIT,
          steps: practices.map(({ step }) => step),
          today: '2027-12-31',
          file: 'log.csv',
        };
        const coded = decodeLogCode(logCode(KIT, practices).join(' '), KIT);
        const entries = coded.map((practice, i) => entryOf(practice, i + 1));
        const fromPage = readLog(logCsv(KIT, LOG_COLUMNS, practices), options);
        expect(fromPage.problems).toEqual([]);
        const comparable = (entry: LogEntry) => ({
          ...entry,
          line: 0,
          time: entry.time! < '12:00' ? 'morning' : 'later',
          signs: entry.signs.toSorted(),
        });
        expect(fromPage.entries.map(comparable)).toEqual(entries.map(comparable));
        // And from the rows that a code is typed in as.
        const rows = coded.map(practice => Object.values(logRow(KIT, practice)).join(','));
        const typed = readLog([LOG_COLUMNS.join(','), ...rows].join('\n'), options);
        expect(typed.entries.map(comparable)).toEqual(entries.map(comparable));
      }),
      { seed: 7, numRuns: 200 },
    );
  });

  test('a note can be neither a formula nor another cell', () => {
    const csv = logCsv(
      KIT,
      ['note', 'step'],
      [{ ...WEEK[0]!, note: '=HYPERLINK("x","y")\r\nnext' }],
    );
    expect(csv).toBe(`note,step\r\n"'=HYPERLINK(""x"",""y"") next",1\r\n`);
  });
});
