/**
 * How a session went, from what the family noted of it.
 *
 * The rules in the order they are asked; the first that holds names the outcome:
 *
 *     red          a red sign, or a mark from `redMark` on, whatever else was noted
 *     invalid      stopped from outside, interrupted, volume changed, or not set at all
 *     hard         a sign of distress, a mark from `hardMark` on, stopped by child or parent
 *     missing      no mark, not noted to the end, or a row that could not be read whole
 *     comfortable  highest mark at most `comfortableMark`
 *     ok           all others
 *
 * An invalid session counts neither way. What was not noted never counts as comfortable.
 *
 * @module
 */
import type { RuleConstants } from '../protocol/plan-ranges.js';
import { type LogEntry, RED_SIGNS, type Sign } from './log-entry.js';

export const OUTCOMES = ['comfortable', 'ok', 'hard', 'red', 'invalid', 'missing'] as const;

export type Outcome = (typeof OUTCOMES)[number];

export interface Judgement {
  readonly outcome: Outcome;
  /** Name of the rule that decided. */
  readonly rule: string;
  /** What was seen; part of a sentence. */
  readonly because: string;
}

/** What staff read of a sign. */
const SIGN_WORDS: Readonly<Record<Sign, string>> = {
  ears: 'covered ears',
  cried: 'cried',
  left: 'left',
  froze: 'went quiet or stiff',
  asked_stop: 'asked to stop',
  pain: 'pain',
  ringing: 'ringing',
  seizure: 'a seizure',
  panic: 'panic',
  vomited: 'vomited',
  hurt_self: 'hurt itself',
  upset_long: 'was upset for long',
  refused_next_day: 'refused the next day',
};

const inWords = (signs: readonly Sign[]): string => signs.map(sign => SIGN_WORDS[sign]).join(', ');

/** Judges one session by itself. */
export function judgeSession(entry: LogEntry, rules: RuleConstants): Judgement {
  const { signs, stoppedBy } = entry;
  const marks = [entry.childRating, entry.parentRating].filter(mark => mark !== null);
  const mark = marks.length === 0 ? null : Math.max(...marks);
  const red = signs.filter(sign => RED_SIGNS.some(other => other === sign));
  const judged = (outcome: Outcome, rule: string, because: string): Judgement => ({
    outcome,
    rule,
    because,
  });

  if (red.length > 0) return judged('red', 'red-sign', inWords(red));
  if (mark !== null && mark >= rules.redMark) return judged('red', 'red-mark', `mark ${mark}`);

  if (stoppedBy === 'outside' || entry.interrupted === true) {
    return judged('invalid', 'interrupted', 'interrupted from outside');
  }
  if (entry.volumeTouched === true) {
    return judged('invalid', 'volume-touched', 'the volume was changed');
  }
  if (entry.volumeSet === false) {
    return judged('invalid', 'volume-not-set', 'the volume was not set');
  }

  if (signs.length > 0) return judged('hard', 'hard-sign', inWords(signs));
  if (mark !== null && mark >= rules.hardMark) return judged('hard', 'hard-mark', `mark ${mark}`);
  if (stoppedBy !== null) {
    return judged('hard', 'stopped-early', `stopped by the ${stoppedBy}`);
  }

  if (entry.isDoubtful) {
    return judged('missing', 'not-readable', 'part of the row could not be read');
  }
  if (entry.completed !== true) {
    return judged('missing', 'not-to-the-end', 'not noted as played to the end');
  }
  if (entry.volumeSet === null) {
    return judged('missing', 'volume-not-noted', 'not noted whether the volume was set');
  }
  if (mark === null) return judged('missing', 'no-mark', 'no mark was noted');

  const seen = `played to the end, highest mark ${mark}, no signs`;
  return mark <= rules.comfortableMark
    ? judged('comfortable', 'comfortable', seen)
    : judged('ok', 'all-right', seen);
}
