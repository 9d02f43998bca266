/**
 * From all that a family noted to the step that comes next: sessions are gone through in their order,
 * and each leaves the plan where its rule puts it.
 *
 * The rules, with the defaults of their constants:
 *
 *     advance    two comfortable sessions in a row at the step that is due, on different half-days
 *     half-step  four sessions at one step that were only all right: the next step comes in halves
 *     repeat     all else that is not hard
 *     back       a hard session: one step lower; below the first there is a softer variant of it
 *     back-two   the second step back in a row: two steps lower, and the family calls the study
 *     stop       a red sign or mark, or the softer variant is too hard: practice stops until staff
 *                let it begin again
 *
 * After a hard session no step above the one that is due counts, until that one is comfortable. Three
 * days without practice: one step lower.
 *
 * @module
 */
import type { RuleConstants } from '../protocol/plan-ranges.js';
import { daysBetween } from '../plan/dates.js';
import { halfStep, softerStep } from '../plan/half-step.js';
import { type Judgement, judgeSession, type Outcome } from './judge-session.js';
import { LadderPath } from './ladder-path.js';
import type { LogEntry } from './log-entry.js';
import type { Step } from '../plan/plan.js';

export const ACTIONS = ['advance', 'repeat', 'half-step', 'back', 'back-two', 'stop'] as const;

export type Action = (typeof ACTIONS)[number];

/** Staff let practice begin again. */
export interface Restart {
  /** `YYYY-MM-DD`; sessions of that day come before it. */
  readonly date: string;
  readonly step: number;
  readonly clearedBy: string;
}

export interface ReplayInput {
  /** By number. */
  readonly steps: readonly Step[];
  /** By date and time. */
  readonly entries: readonly LogEntry[];
  readonly restarts: readonly Restart[];
  /** Red signs stand in rows that are no sessions. */
  readonly redElsewhere: boolean;
  /** Highest step that the kit's plan had by a date. */
  readonly plannedBy: (date: string) => number;
  readonly rules: RuleConstants;
  /** Day of the decision, `YYYY-MM-DD`. */
  readonly asOf: string;
}

/** What a session was, and what it led to. */
export interface SessionDecision {
  readonly date: string;
  readonly step: number;
  readonly outcome: Outcome;
  /** Name of the rule that decided what comes next. */
  readonly rule: string;
  /** One sentence. */
  readonly why: string;
  /** What comes after it. */
  readonly action: Action;
  /** Number of the step that is due after it; null when practice stops. */
  readonly next: number | null;
}

export interface Replay {
  readonly sessions: readonly SessionDecision[];
  readonly action: Action;
  /** Number of the step that is due; null when practice stops. */
  readonly nextStep: number | null;
  readonly rule: string;
  readonly why: string;
  /** The kit's steps and those that were inserted, by number. */
  readonly steps: readonly Step[];
  /** Comfortable sessions that the next step still needs before a higher one. */
  readonly sessionsToGo: number;
  /** Whether the next step was heard before. */
  readonly isHeard: boolean;
}

interface Decision {
  readonly action: Action;
  readonly rule: string;
  /** What comes next, in words. */
  readonly then: string;
}

/**
 * Goes through a log.
 *
 * @throws {RangeError} No steps, or a session of a step that is not among them.
 */
export function replayLog(input: ReplayInput): Replay {
  const { rules, asOf } = input;
  if (input.steps.length === 0) throw new RangeError('a plan without steps cannot go on');
  const path = new LadderPath(input.steps);
  const restarts = [...input.restarts];
  const sessions: SessionDecision[] = [];
  let last: Decision = { action: 'repeat', rule: 'not-begun', then: 'begin with the first step' };
  const restartBefore = (date: string): void => {
    while (restarts.length > 0 && restarts[0]!.date < date) {
      last = restart(path, restarts.shift()!);
    }
  };
  for (const entry of input.entries) {
    restartBefore(entry.date);
    if (!path.steps.some(({ number }) => number === entry.step)) insertHeard(path, entry.step);
    const judgement = judgeSession(entry, rules);
    last = decide(path, entry, judgement, input);
    sessions.push({
      date: entry.date,
      step: entry.step,
      outcome: judgement.outcome,
      rule: last.rule,
      why: `${capital(judgement.outcome)} (${judgement.because}): ${last.then}.`,
      action: last.action,
      next: path.isStopped ? null : path.next,
    });
  }
  restartBefore('9999-99-99');
  if (input.redElsewhere && !path.isStopped) {
    last = stop(path, 'red-sign', 'a red sign stands in a row that is no session');
  }
  // Who lets practice begin again has seen how long it rested.
  const dates = [...input.entries, ...input.restarts].map(({ date }) => date).sort();
  const lastDate = dates.at(-1);
  if (!path.isStopped && lastDate !== undefined) {
    last = afterMissedDays(path, daysBetween(lastDate, asOf) - 1, rules, last);
  }
  const halves = path.run.step === path.next ? path.run.halves.length : 0;
  return {
    sessions,
    action: last.action,
    nextStep: path.isStopped ? null : path.next,
    rule: last.rule,
    why: `${capital(last.then)}.`,
    steps: path.steps,
    sessionsToGo: Math.max(rules.comfortableToAdvance - halves, 1),
    isHeard: path.next <= path.highest || input.entries.some(({ step }) => step === path.next),
  };
}

function decide(
  path: LadderPath,
  entry: LogEntry,
  { outcome, rule }: Judgement,
  input: ReplayInput,
): Decision {
  const { step } = entry;
  const { rules } = input;
  if (path.isStopped) {
    return {
      action: 'stop',
      rule: 'stopped',
      then: 'practice has stopped, and goes on only when staff let it begin again',
    };
  }
  if (outcome === 'red') return stop(path, rule, 'all practice stops; staff call the family');
  if (outcome === 'invalid') {
    return repeat(rule, `it does not count, step ${name(path.next)} again`);
  }
  if (outcome === 'hard') return back(path, step, rules);
  const ahead = whyAhead(path, entry, input);
  if (ahead !== null) {
    path.run = { step: path.next, halves: [] };
    return repeat(ahead, `it was ahead of the plan, step ${name(path.next)} is due`);
  }
  if (step > path.next) path.goTo(step);
  if (step > path.highest) {
    path.highest = step;
    path.highestSince = entry.date;
  }
  if (step < path.next) {
    path.run = { step: path.next, halves: [] };
    return repeat('lower-step', `it was a lower step, step ${name(path.next)} is still due`);
  }
  path.backs = outcome === 'missing' ? path.backs : 0;
  switch (outcome) {
    case 'missing':
      path.run = { step, halves: [] };
      return repeat(rule, `it cannot count as comfortable, step ${name(step)} again`);
    case 'ok':
      return allRight(path, rules);
    case 'comfortable':
      return comfortable(path, entry, rules);
  }
}

/** Why a session does not count, since its step was not due yet; null when it was. */
function whyAhead(
  path: LadderPath,
  { step, date }: LogEntry,
  { plannedBy }: ReplayInput,
): string | null {
  if (step > path.highest && date === path.highestSince) return 'one-new-step-a-day';
  if (step <= path.next) return null;
  // The plan itself goes on step by step; what was hard is made up for first.
  const oneMore = path.above(path.highest)?.number ?? path.highest;
  const isPlanned = path.hardAt === null && step <= Math.max(oneMore, plannedBy(date));
  return isPlanned ? null : 'ahead-of-plan';
}

function comfortable(path: LadderPath, entry: LogEntry, rules: RuleConstants): Decision {
  const { step } = entry;
  const half = halfDay(entry);
  if (path.run.step !== step) path.run = { step, halves: [] };
  if (isAnotherHalf(half, path.run.halves)) path.run.halves.push(half);
  const count = path.run.halves.length;
  if (count < rules.comfortableToAdvance) {
    const left = rules.comfortableToAdvance - count;
    return repeat(
      'repeat',
      `step ${name(step)} again, ${left} more comfortable ${left === 1 ? 'session' : 'sessions'} on another half-day lead on`,
    );
  }
  const higher = path.above(step);
  if (path.hardAt !== null && step >= path.hardAt) path.hardAt = null;
  if (higher === undefined) {
    return repeat('top', `this is the highest step of the plan, it can be kept up`);
  }
  path.goTo(higher.number);
  return {
    action: 'advance',
    rule: 'advance',
    then: `${count} comfortable sessions in a row at step ${name(step)}, on to step ${name(higher.number)}`,
  };
}

function allRight(path: LadderPath, rules: RuleConstants): Decision {
  const { next } = path;
  path.run = { step: next, halves: [] };
  path.okCount += 1;
  if (path.okCount < rules.okBeforeHalfStep) {
    return repeat('repeat', `step ${name(next)} again until it is comfortable`);
  }
  const higher = path.above(next);
  const half =
    higher !== undefined && Number.isInteger(next) && Number.isInteger(higher.number)
      ? halfStep(path.at(next), higher)
      : null;
  const times = `${path.okCount} sessions at step ${name(next)} were only all right`;
  if (half === null) return repeat('repeat', `${times}, and it goes on with it`);
  path.insert(half);
  path.goTo(half.number);
  return {
    action: 'half-step',
    rule: 'half-step',
    then: `${times}, so the next step comes in halves: ${name(half.number)}`,
  };
}

function back(path: LadderPath, step: number, rules: RuleConstants): Decision {
  path.backs += 1;
  path.hardAt = Math.max(step, path.hardAt ?? 0);
  const isTwo = path.backs >= rules.backsBeforeTwo;
  let lower = path.below(step);
  if (isTwo && lower !== null) lower = path.below(lower.number) ?? lower;
  const gentler = lower === null ? undefined : path.gentler(step, lower.number);
  if (gentler === undefined) {
    return stop(
      path,
      'floor',
      'there is nothing softer to go back to, so practice stops; call the family',
    );
  }
  path.goTo(gentler.number);
  return isTwo
    ? {
        action: 'back-two',
        rule: 'back-two',
        then: `${path.backs} times back in a row, so two steps lower, to step ${name(path.next)}; call the family`,
      }
    : { action: 'back', rule: 'back', then: `back to step ${name(path.next)}` };
}

function stop(path: LadderPath, rule: string, then: string): Decision {
  path.isStopped = true;
  path.run = { step: 0, halves: [] };
  return { action: 'stop', rule, then };
}

const repeat = (rule: string, then: string): Decision => ({ action: 'repeat', rule, then });

function restart(path: LadderPath, { step, clearedBy }: Restart): Decision {
  insertHeard(path, step);
  path.isStopped = false;
  path.backs = 0;
  // What is above was too much: it counts again once the step is comfortable.
  path.hardAt = step;
  path.goTo(step);
  return {
    action: 'repeat',
    rule: 'restart',
    then: `begin again with step ${name(step)}, cleared by ${clearedBy}`,
  };
}

function afterMissedDays(
  path: LadderPath,
  missed: number,
  rules: RuleConstants,
  last: Decision,
): Decision {
  if (missed < rules.missedDays) return last;
  // A beginning is begun again as it is: nothing was too much.
  const lower = path.isBeginning(path.next) ? null : path.below(path.next);
  if (lower === null) return last;
  path.goTo(lower.number);
  return {
    action: 'back',
    rule: 'missed-days',
    then: `${missed} days without practice, so one step lower, to step ${name(lower.number)}`,
  };
}

/** A half step or softer variant that the family heard before its place in the log tells why. */
function insertHeard(path: LadderPath, number: number): void {
  if (path.steps.some(step => step.number === number)) return;
  const lower = path.steps.findLast(step => step.number < number);
  const higher = path.above(number);
  if (higher === undefined) throw new RangeError(`there is no step ${number}`);
  const half = lower === undefined ? null : halfStep(lower, higher);
  path.insert(half ?? softerStep(higher));
}

/** Which half of which day; an entry without a time could be either. */
const halfDay = ({ date, time }: LogEntry): string =>
  `${date} ${time === null ? '?' : time < '12:00' ? 'am' : 'pm'}`;

/** Whether a half-day is for sure another one than all of those. */
const isAnotherHalf = (half: string, others: readonly string[]): boolean =>
  others.every(
    other =>
      other.slice(0, 10) !== half.slice(0, 10) ||
      (other !== half && !other.endsWith('?') && !half.endsWith('?')),
  );

/** Step numbers as people say them. */
const name = (number: number): string => String(number);

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
