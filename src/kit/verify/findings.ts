/**
 * What a check of a kit has found, each with its place and what to do.
 *
 * @module
 */
import type { Problem } from '../../errors.js';

/** A level from a file is as good as its manifest's within this, in dB: half of what an ear can tell. */
export const LEVEL_TOLERANCE_DB = 0.5;

/**
 * What is measured may pass a gate by so much, in dB: rounding. What coding adds is kept free when a
 * kit is built.
 */
export const GATE_TOLERANCE_DB = 0.1;

export const REBUILD = 'Copy the kit again, or build it again.';

export class Findings {
  /** What is wrong. */
  readonly problems: Problem[] = [];
  /** What is wrong and could hurt a listener. */
  readonly unsafe: Problem[] = [];

  report(where: string, found: string, allowed: string, fix = REBUILD): void {
    this.problems.push({ where, found, allowed, fix });
  }

  missing(file: string): void {
    const fix = 'Copy the whole kit again, or build it again.';
    this.report(file, 'no such file', 'all files of the kit', fix);
  }

  refuse(where: string, found: string, allowed: string): void {
    this.unsafe.push({ where, found, allowed, fix: 'Do not play it. Build the kit again.' });
  }

  /** A level that must be as stated. */
  compare(where: string, what: string, measured: number, expected: number, unit: string): void {
    if (Math.abs(measured - expected) <= LEVEL_TOLERANCE_DB) return;
    this.report(
      where,
      `${what} of ${measured.toFixed(1)} ${unit}`,
      `${expected.toFixed(1)} ${unit}, within ${LEVEL_TOLERANCE_DB} dB`,
    );
  }

  /** A level that must not be passed, re the voice reference. */
  limit(where: string, what: string, offsetDb: number, limitDb: number): void {
    if (offsetDb <= limitDb + GATE_TOLERANCE_DB) return;
    this.refuse(
      where,
      `${what} of ${offsetDb.toFixed(1)} dB re the voice reference`,
      `at most ${limitDb.toFixed(1)} dB`,
    );
  }
}
