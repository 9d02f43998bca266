/**
 * Errors in words: what was wrong, where, what is allowed, and the fix.
 *
 * @module
 */
import type { UserError } from '../errors.js';

/** Every problem of an error, one paragraph each. */
export function explainError(error: UserError): string {
  const headline = error.code === 'UNSAFE' ? `Refused for safety: ${error.message}` : error.message;
  const problems = error.problems.map(
    ({ where, found, allowed, fix }) =>
      `\n  ${where}\n    found:   ${found}\n    allowed: ${allowed}\n    fix:     ${fix}\n`,
  );
  return `${headline}\n${problems.join('')}`;
}

/** A fault of ours: its stack, and what to do with it. */
export function explainFault(error: unknown): string {
  const detail = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return `This is a fault in softknock, not in your input. Please report it with these lines:\n${detail}\n`;
}
