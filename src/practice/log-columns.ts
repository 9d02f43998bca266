/**
 * The columns of a family's log, one row a session: `log.csv`.
 *
 * What belongs in each, in words for families, stands in the texts, section `logColumns`; the words
 * of `signs` and `stopped_by` in `log-entry.ts`.
 *
 * @module
 */

/** In the order in which they are written. */
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

/** Without these nothing can be learnt from a log. */
export const REQUIRED_COLUMNS = ['kit', 'step', 'date', 'completed'] as const;
