/** Logs of an invented family. */
import { LOG_COLUMNS, type LogColumn } from '../../src/practice/log-columns.js';
import { type LogReading, readLog } from '../../src/practice/read-log.js';

export const KIT = '7KMP-4XCW';

export const TODAY = '2027-06-14';

export const STEPS = [1, 2, 2.5, 3, 4];

export const HEADER = LOG_COLUMNS.join(',');

/** A session as good as can be. */
export const CALM: Readonly<Record<LogColumn, string>> = {
  kit: KIT,
  step: '1',
  date: '2027-06-01',
  time: '18:00',
  volume_set: 'yes',
  completed: 'yes',
  child_rating: '1',
  parent_rating: '0',
  signs: '',
  stopped_by: '',
  interrupted: 'no',
  volume_touched: 'no',
  note: '',
};

/** A row; cells are written as they are, so commas in them need quotation marks. */
export const logRow = (cells: Partial<Record<LogColumn, string>> = {}): string =>
  Object.values({ ...CALM, ...cells }).join(',');

export const logOf = (...rows: readonly string[]): string => [HEADER, ...rows, ''].join('\r\n');

export const read = (text: string): LogReading =>
  readLog(text, { kit: KIT, steps: STEPS, today: TODAY, file: 'log.csv' });
