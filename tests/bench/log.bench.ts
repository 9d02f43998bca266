/**
 * Reading a log of 100,000 rows. A log as it should be is to take less than 1 s: more than 1 run a
 * second. One that is wrong in every row is to take seconds, not minutes.
 */
import { bench, describe } from 'vitest';
import { addDays } from '../../src/plan/dates.js';
import { readLog } from '../../src/practice/read-log.js';
import { HEADER, KIT, logRow } from '../helpers/family-log.js';

const ROWS = 100_000;

const FIRST_DAY = '1900-01-01';

/** Two rows a day, all of different sessions. */
const logWith = (cells: (row: number) => Parameters<typeof logRow>[0]): string =>
  [
    HEADER,
    ...Array.from({ length: ROWS }, (_, i) =>
      logRow({
        date: addDays(FIRST_DAY, Math.floor(i / 2)),
        time: i % 2 === 0 ? '09:00' : '18:00',
        step: `${1 + (i % 14)}`,
        ...cells(i),
      }),
    ),
  ].join('\r\n');

const logs = {
  'as it should be': logWith(() => ({})),
  'with notes in quotation marks': logWith(i => ({ note: `"said ""${i}"", and laughed"` })),
  'with something wrong in every cell': logWith(() => ({
    time: 'late',
    volume_set: 'maybe',
    completed: 'perhaps',
    child_rating: '99',
    parent_rating: '-1',
    signs: 'sleepyness; siezure; earz',
    stopped_by: 'nobody',
    interrupted: '?',
    volume_touched: '?',
  })),
  'of one session over and over': logWith(i => ({
    date: '2027-06-01',
    time: '18:00',
    step: '1',
    child_rating: `${i % 8}`,
  })),
  'with an unclosed quotation mark in each': logWith(() => ({ note: '"oh' })),
};

describe(`read a log of ${ROWS} rows`, () => {
  for (const [what, text] of Object.entries(logs)) {
    bench(
      what,
      () => {
        const { entries } = readLog(text, {
          kit: KIT,
          steps: Array.from({ length: 14 }, (_, i) => i + 1),
          today: '2100-01-01',
          file: 'log.csv',
        });
        if (entries.length === 0) throw new Error('nothing read');
      },
      { iterations: 3, time: 0, warmupIterations: 1, warmupTime: 0 },
    );
  }
});
