/**
 * Where a family is on its ladder.
 *
 * @module
 */
import { softerStep } from '../plan/half-step.js';
import type { Step } from '../plan/plan.js';

/** Where the family is. */
export class LadderPath {
  steps: Step[];
  /** Number of the step that is due. */
  next: number;
  isStopped = false;
  /** Highest step that counts. */
  highest = 0;
  highestSince = '';
  /** A hard session at this step, or a higher one, is not made up for yet. */
  hardAt: number | null = null;
  backs = 0;
  /** Half-days of comfortable sessions in a row, and at which step. */
  run: { step: number; halves: string[] } = { step: 0, halves: [] };
  /** Sessions that were only all right, at the step that is due. */
  okCount = 0;

  constructor(steps: readonly Step[]) {
    this.steps = steps.toSorted((a, b) => a.number - b.number);
    this.next = this.steps[0]!.number;
  }

  at(number: number): Step {
    return this.steps.find(step => step.number === number)!;
  }

  above(number: number): Step | undefined {
    return this.steps.find(step => step.number > number);
  }

  /** The next lower step; below a beginning, its softer variant; null below that. */
  below(number: number): Step | null {
    const step = this.at(number);
    if (step.change === 'softer') return null;
    const lower = this.steps.findLast(other => other.number < number);
    if (!this.isBeginning(number)) return lower!;
    return lower?.change === 'softer' ? lower : this.insert(softerStep(step));
  }

  /**
   * What comes after a hard session: no higher than `most` or than what was due, and neither louder
   * nor more sudden than either, even if the family had jumped to another sound's ladder.
   */
  gentler(hard: number, most: number): Step | undefined {
    const both = [this.at(hard), this.at(this.next)];
    return this.steps.findLast(
      step =>
        step.number <= Math.min(most, this.next) &&
        both.every(
          ({ levelDb, onsetSeconds }) =>
            step.levelDb <= levelDb && step.onsetSeconds >= onsetSeconds,
        ),
    );
  }

  /** Whether a step begins the ladder, or that of one hard sound. */
  isBeginning(number: number): boolean {
    const { change } = this.at(number);
    return change === 'start' || change === 'alone';
  }

  insert(step: Step): Step {
    const known = this.steps.find(({ number }) => number === step.number);
    if (known !== undefined) return known;
    this.steps = [...this.steps, step].sort((a, b) => a.number - b.number);
    return step;
  }

  goTo(number: number): void {
    this.next = number;
    this.okCount = 0;
    this.run = { step: number, halves: [] };
  }
}
