/**
 * Practices that were read out on the phone, in the shapes of a log.
 *
 * @module
 */
import type { LogColumn } from './log-columns.js';
import type { LogEntry, Stopper } from './log-entry.js';
import type { CodedPractice } from './log-code.js';

/** A code tells only the half of the day; these stand for it. */
const TIMES = { 'before noon': '09:00', 'from noon': '18:00' } as const;

/**
 * A practice as the rules of the plan read it.
 *
 * @param line - Where it is in the code, from 1.
 */
export function entryOf(practice: CodedPractice, line: number): LogEntry {
  const { ended } = practice;
  return {
    line,
    date: practice.date,
    time: TIMES[practice.half],
    step: practice.step,
    volumeSet: practice.volumeChecked,
    completed: ended === 'completed',
    childRating: practice.childRating,
    parentRating: practice.parentRating,
    signs: [...practice.signs, ...(ended === 'child' ? (['asked_stop'] as const) : [])],
    stoppedBy: stopperOf(ended),
    interrupted: practice.cut || ended === 'outside',
    // A code does not tell.
    volumeTouched: null,
    isDoubtful: false,
  };
}

function stopperOf(ended: CodedPractice['ended']): Stopper | null {
  if (ended === 'completed') return null;
  return ended === 'declined' ? 'child' : ended;
}

/** A practice as a row of `log.csv`, by column. */
export function logRow(kit: string, practice: CodedPractice): Record<LogColumn, string> {
  const entry = entryOf(practice, 1);
  return {
    kit,
    step: String(entry.step),
    date: entry.date,
    time: entry.time ?? '',
    volume_set: yesNo(entry.volumeSet),
    completed: yesNo(entry.completed),
    child_rating: String(entry.childRating ?? ''),
    parent_rating: String(entry.parentRating ?? ''),
    signs: entry.signs.join(';'),
    stopped_by: entry.stoppedBy ?? '',
    interrupted: yesNo(entry.interrupted),
    volume_touched: yesNo(entry.volumeTouched),
    note: '',
  };
}

const yesNo = (value: boolean | null): string => (value === null ? '' : value ? 'yes' : 'no');
