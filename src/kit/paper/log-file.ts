/**
 * `log.csv`: what a family notes, one row a session.
 *
 * Source of the format: RFC 4180 (header row, line ends).
 *
 * @module
 */
import { LOG_COLUMNS } from '../../practice/log-columns.js';

/** A log without rows. */
export const emptyLog = (): string => `${LOG_COLUMNS.join(',')}\r\n`;
