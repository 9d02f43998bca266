/**
 * `log.csv`: what a family notes, one row a session.
 *
 * Source of the format: RFC 4180 (header row, line ends).
 *
 * @module
 */

/** Columns, in order; what belongs in each stands in the texts, section `logColumns`. */
export const LOG_COLUMNS = [
  'kit',
  'step',
  'date',
  'time',
  'volume_set',
  'completed',
  'child_rating',
  'parent_rating',
  'signs',
  'stopped_by',
  'interrupted',
  'volume_touched',
  'note',
] as const;

export type LogColumn = (typeof LOG_COLUMNS)[number];

/** Words that may stand in the column `signs`. */
export const LOG_SIGNS = [
  'ears',
  'cried',
  'left',
  'froze',
  'asked_stop',
  'pain',
  'ringing',
  'seizure',
  'panic',
  'vomited',
  'hurt_self',
  'upset_long',
  'refused_next_day',
] as const;

/** A log without rows. */
export const emptyLog = (): string => `${LOG_COLUMNS.join(',')}\r\n`;
