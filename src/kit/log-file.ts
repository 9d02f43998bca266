/**
 * `log.csv`: what a family notes, one row a session.
 *
 * Source of the format: RFC 4180 (header row, line ends).
 *
 * @module
 */

/** A column and what belongs in it. */
export interface LogColumn {
  readonly name: string;
  readonly meaning: string;
}

export const LOG_COLUMNS: readonly LogColumn[] = [
  { name: 'kit', meaning: 'the code on this kit' },
  { name: 'step', meaning: 'number of the step' },
  { name: 'date', meaning: 'day, for example 2027-06-14' },
  { name: 'time', meaning: 'time of day, for example 17:30' },
  { name: 'volume_set', meaning: 'yes or no: was the volume checked with the "shhh"?' },
  { name: 'completed', meaning: 'yes or no: did it play to the end?' },
  { name: 'child_rating', meaning: '0 (fine) to 10 (much too much), or empty' },
  { name: 'parent_rating', meaning: 'the same, as you saw it' },
  {
    name: 'signs',
    meaning:
      'any of these, with ; between them: ears, cried, left, froze, asked_stop, pain, ringing, seizure, panic, vomited, hurt_self, upset_long, refused_next_day',
  },
  { name: 'stopped_by', meaning: 'child, parent or outside, or empty' },
  { name: 'interrupted', meaning: 'yes or no' },
  { name: 'volume_touched', meaning: 'yes or no: was the volume changed after it was set?' },
  { name: 'note', meaning: 'anything else; no names please' },
];

/** A log without rows. */
export const emptyLog = (): string => `${LOG_COLUMNS.map(({ name }) => name).join(',')}\r\n`;
