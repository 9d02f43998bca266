/**
 * `log.csv`: what a family notes, one row a session.
 *
 * Source of the format: RFC 4180 (header row, line ends).
 *
 * @module
 */
import { LOG_COLUMNS } from '../plan/log-columns.js';
import { SIGNS } from '../plan/log-entry.js';

export { LOG_COLUMNS, type LogColumn } from '../plan/log-columns.js';

/** Words that may stand in the column `signs`. */
export const LOG_SIGNS = SIGNS;

/** A log without rows. */
export const emptyLog = (): string => `${LOG_COLUMNS.join(',')}\r\n`;
