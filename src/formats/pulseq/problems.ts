/**
 * Takes down what is wrong with a `.seq` file, each with its line.
 *
 * @module
 */
import { type Problem, UserError } from '../../errors.js';

/** Most problems that are listed: one slip of an exporter can be wrong in every line. */
const MAX_PROBLEMS = 10;

/** Longest piece of the file that is shown, in characters. */
const MAX_SHOWN = 40;

const EXPORT_AGAIN = 'Export the sequence again, or correct this line.';

export class SeqProblems {
  private readonly problems: Problem[] = [];

  constructor(
    private readonly text: string,
    private readonly fileName: string,
  ) {}

  /**
   * Takes down one problem.
   *
   * @param at - Where in the text, as an offset.
   * @param what - Section or event for the place, for example `[RF]`.
   * @throws {UserError} There are enough of them already.
   */
  add(at: number, what: string, found: string, allowed: string, fix = EXPORT_AGAIN): void {
    const where = `${this.fileName}:${lineOf(this.text, at)} ${what}`.trimEnd();
    this.problems.push({ where, found, allowed, fix });
    if (this.problems.length >= MAX_PROBLEMS) this.throwIfAny();
  }

  /** Takes down a problem and ends reading. */
  fail(at: number, what: string, found: string, allowed: string, fix = EXPORT_AGAIN): never {
    this.add(at, what, found, allowed, fix);
    this.throwIfAny();
    throw new Error('unreachable');
  }

  /** @throws {UserError} `BAD_PROTOCOL`, when there are problems. */
  throwIfAny(): void {
    if (this.problems.length === 0) return;
    throw new UserError(
      'BAD_PROTOCOL',
      `${this.fileName} is no Pulseq file that can be played.`,
      this.problems,
    );
  }
}

/** A piece of the file, short and harmless to a terminal. */
export function shown(piece: string): string {
  const cut = piece.length > MAX_SHOWN ? `${piece.slice(0, MAX_SHOWN - 1)}…` : piece;
  return `"${cut.replace(/[^\x20-\x7e…]/g, '?')}"`;
}

/** Number of the line that an offset lies in, from 1: counted only when there is something to say. */
function lineOf(text: string, at: number): number {
  let line = 1;
  for (let i = text.indexOf('\n'); i !== -1 && i < at; i = text.indexOf('\n', i + 1)) line += 1;
  return line;
}
