/** Logs at random: good ones are read whole, bad ones never look better than they are. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { LOG_COLUMNS, type LogColumn } from '../../src/practice/log-columns.js';
import { type LogEntry, RED_SIGNS, SIGNS, STOPPERS } from '../../src/practice/log-entry.js';
import type { LogReading } from '../../src/practice/read-log.js';
import { CALM, KIT, logOf, logRow, read, STEPS, TODAY } from '../helpers/family-log.js';

/** Rating from which on practice stops. */
const RED_MARK = 8;

/** Whether a session could count as comfortable by any rule: nothing speaks against it. */
const couldBeComfortable = (entry: LogEntry): boolean =>
  entry.completed === true &&
  !entry.isDoubtful &&
  entry.signs.length === 0 &&
  entry.stoppedBy === null &&
  (entry.childRating ?? entry.parentRating) !== null &&
  Math.max(entry.childRating ?? 0, entry.parentRating ?? 0) <= 3;

const isRed = (entry: LogEntry): boolean =>
  entry.signs.some(sign => RED_SIGNS.some(red => red === sign)) ||
  Math.max(entry.childRating ?? 0, entry.parentRating ?? 0) >= RED_MARK;

/** The reading; undefined when it is refused. Nothing else may be thrown. */
function readOrRefuse(text: string): LogReading | undefined {
  try {
    return read(text);
  } catch (error) {
    if (error instanceof UserError) return undefined;
    throw error;
  }
}

const maybe = <T>(arbitrary: fc.Arbitrary<T>): fc.Arbitrary<T | null> =>
  fc.option(arbitrary, { freq: 3 });

const day = fc
  .integer({ min: 0, max: 60 })
  .map(n => new Date(Date.parse(`${TODAY}T00:00:00Z`) - n * 86_400_000).toISOString().slice(0, 10));

const time = fc
  .integer({ min: 0, max: 24 * 60 - 1 })
  .map(n => [n / 60, n % 60].map(part => String(Math.floor(part)).padStart(2, '0')).join(':'));

const rating = fc.integer({ min: 0, max: 10 });

const session = fc.record({
  date: day,
  time: maybe(time),
  step: fc.constantFrom(...STEPS),
  volumeSet: maybe(fc.boolean()),
  completed: maybe(fc.boolean()),
  childRating: maybe(rating),
  parentRating: maybe(rating),
  signs: fc.subarray([...SIGNS]),
  stoppedBy: maybe(fc.constantFrom(...STOPPERS)),
  interrupted: maybe(fc.boolean()),
  volumeTouched: maybe(fc.boolean()),
});

const sessions = fc.uniqueArray(session, {
  minLength: 1,
  maxLength: 12,
  selector: ({ date, time, step }) => `${date} ${time ?? ''} ${step}`,
});

/** Any text on any lines. */
const note = fc.string({ unit: 'binary', maxLength: 20 });

test('sessions that are written down are read back, in any dialect and order of columns', () => {
  const yesNo = (value: boolean | null): string => (value === null ? '' : value ? 'yes' : 'no');
  fc.assert(
    fc.property(
      sessions,
      fc.infiniteStream(note),
      fc.constantFrom(',', ';', '\t'),
      fc.constantFrom('\r\n', '\n', '\r'),
      fc.shuffledSubarray([...LOG_COLUMNS], { minLength: LOG_COLUMNS.length }),
      fc.boolean(),
      (written, notes, delimiter, end, columns, hasMark) => {
        const cells = (entry: (typeof written)[number]): Record<LogColumn, string> => ({
          kit: KIT,
          step: `${entry.step}`,
          date: entry.date,
          time: entry.time ?? '',
          volume_set: yesNo(entry.volumeSet),
          completed: yesNo(entry.completed),
          child_rating: `${entry.childRating ?? ''}`,
          parent_rating: `${entry.parentRating ?? ''}`,
          signs: entry.signs.join(';'),
          stopped_by: entry.stoppedBy ?? '',
          interrupted: yesNo(entry.interrupted),
          volume_touched: yesNo(entry.volumeTouched),
          note: notes.next().value as string,
        });
        const line = (row: Record<string, string>): string =>
          columns.map(name => `"${row[name]!.replaceAll('"', '""')}"`).join(delimiter);
        const rows = written.map(cells);
        const header = columns.join(delimiter);
        const text = `${hasMark ? '\uFEFF' : ''}${[header, ...rows.map(line)].join(end)}`;
        const { entries, problems, redElsewhere } = read(text);
        const when = (entry: (typeof written)[number]): string =>
          `${entry.date} ${entry.time ?? '~'}`;
        const expected = written.toSorted((a, b) =>
          when(a) < when(b) ? -1 : Number(when(a) > when(b)),
        );
        expect(entries).toMatchObject(expected.map(entry => ({ ...entry, isDoubtful: false })));
        expect(redElsewhere).toEqual([]);
        // Only the order of the rows is ever remarked on.
        for (const { found } of problems) expect(found).toContain('before the row above it');
      },
    ),
    { seed: 21, numRuns: 200 },
  );
});

test('whatever bytes follow a header: refused, or read without one good word', () => {
  const bytes = fc.uint8Array({ maxLength: 300 });
  const starts = fc.constantFrom('', `${KIT},2,2027-06-01,`, `${KIT},2,2027-06-01,18:00,yes,`);
  fc.assert(
    fc.property(bytes, starts, fc.constantFrom('utf-8', 'windows-1252'), (data, start, label) => {
      const garbage = new TextDecoder(label).decode(data);
      readOrRefuse(garbage);
      const reading = readOrRefuse(logOf(logRow(), start + garbage));
      expect(reading?.entries[0]).toMatchObject({ line: 2, isDoubtful: false });
      expect(reading!.entries.slice(1).filter(couldBeComfortable)).toEqual([]);
    }),
    { seed: 22, numRuns: 1000 },
  );
});

test('whatever is made of pieces of logs: entries are within bounds, and the same each time', () => {
  const piece = fc.constantFrom(
    KIT,
    ',',
    ',',
    ';',
    '\n',
    '"',
    "'",
    '=',
    '-',
    'yes',
    'no',
    'pain',
    'ears',
    'child',
    '9',
    '1',
    '2.5',
    '2027-06-01',
    '2027-06-02',
    '18:00',
    logRow(),
    `\n${logRow({ date: '2027-06-03', signs: 'ears' })}\n`,
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 40 }), pieces => {
      const text = logOf(logRow(), pieces.join(''));
      const reading = readOrRefuse(text);
      expect(readOrRefuse(text)).toEqual(reading);
      const lines = text.split(/\r\n|\n/).length;
      for (const entry of reading?.entries ?? []) {
        expect(STEPS).toContain(entry.step);
        expect(entry.date <= TODAY).toBe(true);
        expect(entry.line).toBeGreaterThan(1);
        expect(entry.line).toBeLessThanOrEqual(lines);
        for (const mark of [entry.childRating, entry.parentRating]) {
          expect([null, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]).toContain(mark);
        }
      }
      const keys = reading?.entries.map(({ date, time, step }) => `${date} ${time} ${step}`);
      expect(new Set(keys).size).toBe(keys?.length ?? 0);
    }),
    { seed: 23, numRuns: 1000 },
  );
});

test('one cell of a calm session replaced: it is what it was, or not comfortable', () => {
  const columns = LOG_COLUMNS.filter(name => name !== 'note');
  // All that may be written in each, in small letters; the rest must raise doubt.
  const yes = ['yes', 'y', 'true', '1'];
  const no = ['no', 'n', 'false', '0'];
  const marks = Array.from({ length: 11 }, (_, n) => `${n}`);
  const allowed: Readonly<Partial<Record<LogColumn, readonly string[]>>> = {
    volume_set: [...yes, ...no],
    completed: yes,
    child_rating: marks.slice(0, 4),
    parent_rating: marks.slice(0, 4),
    signs: ['none'],
    interrupted: [...yes, ...no],
    volume_touched: [...yes, ...no],
  };
  const cell = fc.oneof(
    fc.string({ minLength: 1, maxLength: 8 }),
    fc.string({
      unit: fc.constantFrom(...Array.from('0123456789.,-/: ')),
      minLength: 1,
      maxLength: 5,
    }),
    fc.constantFrom(...SIGNS, ...STOPPERS, 'yes', 'no', 'YES', '4', '10', '11'),
  );
  let tried = 0;
  fc.assert(
    fc.property(fc.constantFrom(...columns), cell, (column, text) => {
      const plain = text.trim().replace(/^['’]?\s*[=+\-@]?\s*/, '');
      const isBlank = plain === '' && text.trim() === '';
      const isTime = column === 'time' && /^\d{1,2}:\d\d/.test(plain);
      const isPlace = ['kit', 'step', 'date'].includes(column);
      const isMark = column.endsWith('rating') && /^\d+[.,]0+$/.test(plain);
      fc.pre(!isBlank && !isTime && !isPlace && !isMark);
      fc.pre(allowed[column]?.includes(plain.replace(/^0(?=\d)/, '').toLowerCase()) !== true);
      tried += 1;
      const quoted = `"${text.replaceAll('"', '""')}"`;
      const { entries, problems } = read(logOf(logRow({ [column]: quoted })));
      expect(entries.filter(couldBeComfortable)).toEqual([]);
      const isNoted = problems.some(problem => problem.column === column);
      // A good word that is not comfortable (a sign, a mark, who stopped) needs no remark.
      const isGood = [...SIGNS, ...STOPPERS, 'no', ...marks].includes(text.trim());
      expect(isNoted || isGood || CALM[column] === text.trim()).toBe(true);
    }),
    { seed: 24, numRuns: 3000 },
  );
  expect(tried).toBeGreaterThan(1000);
});

/** Characters that fall into a log. */
const damage = fc.array(
  fc.record({ at: fc.nat({ max: 10_000 }), text: fc.constantFrom('"', '""', ',', "'", ' ') }),
  { maxLength: 3 },
);

/** A text with characters put in between words and numbers: inside they could make another one of it. */
function damaged(text: string, blows: readonly { at: number; text: string }[]): string {
  return blows.reduce((body, blow) => {
    const places = [...body.matchAll(/(?<![\w.:-])|(?![\w.:-])/g)].map(({ index }) => index);
    const place = places[blow.at % places.length]!;
    return body.slice(0, place) + blow.text + body.slice(place);
  }, text);
}

test('a red session is seen, whatever happens to quotation marks, delimiters and other cells', () => {
  const red = fc.oneof(
    fc.record({ signs: fc.constantFrom(...RED_SIGNS, 'ears;pain', 'ringing;left') }),
    fc.record({ child_rating: fc.constantFrom('8', '9', '10') }),
    fc.record({ parent_rating: fc.constantFrom('8', '9', '10') }),
  );
  const others = fc.array(
    fc.record({ date: day, note: fc.constantFrom('', '"two\nlines"', '"a, b"', 'x "y"') }),
    { maxLength: 4 },
  );
  const spoilt = fc.record(
    {
      step: fc.constantFrom('', '9', 'x', '2,5'),
      date: fc.constantFrom('', '1.6.2027', '2027-06-31', '2028-01-01'),
      time: fc.constantFrom('', 'late', '25:00'),
      completed: fc.constantFrom('yes', '', '?'),
      stopped_by: fc.constantFrom('', 'mum', ','),
      note: fc.constantFrom('', 'tired, but well', '"so "so"'),
    },
    { requiredKeys: [] },
  );
  let survivors = 0;
  fc.assert(
    fc.property(others, others, red, spoilt, damage, (before, after, hard, bad, blows) => {
      const rows = [
        ...before.map(cells => logRow(cells)),
        logRow({ date: '2027-06-05', ...bad, ...hard }),
        ...after.map(cells => logRow(cells)),
      ];
      const reading = readOrRefuse(logOf(damaged(rows.join('\r\n'), blows)));
      if (reading === undefined) return;
      survivors += 1;
      expect(reading.redElsewhere.length > 0 || reading.entries.some(isRed)).toBe(true);
    }),
    { seed: 25, numRuns: 2000 },
  );
  expect(survivors).toBeGreaterThan(1500);
});

test('a hard session is never comfortable, whatever happens to quotation marks and delimiters', () => {
  const hard = fc.constantFrom<Partial<Record<LogColumn, string>>>(
    { signs: 'ears' },
    { signs: 'asked_stop', stopped_by: 'child', completed: 'no' },
    { child_rating: '6' },
    { child_rating: '', parent_rating: '5' },
    { completed: 'no', stopped_by: 'outside' },
  );
  fc.assert(
    fc.property(hard, damage, (cells, blows) => {
      const body = damaged(logRow({ date: '2027-06-05', note: 'x', ...cells }), blows);
      const reading = readOrRefuse(logOf(body, logRow()));
      expect(reading!.entries.filter(couldBeComfortable).map(({ date }) => date)).toEqual([
        CALM.date,
      ]);
    }),
    { seed: 26, numRuns: 2000 },
  );
});
