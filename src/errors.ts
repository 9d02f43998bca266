/**
 * The one error class a user ever sees. Anything else that reaches the command line is a fault of
 * ours and is reported as one.
 *
 * @module
 */

/** Stable names for what can be wrong, each with the exit status the command line ends with. */
export const USER_ERROR_EXIT_CODES = {
  /** The command line itself: unknown option, missing argument, value out of range. */
  BAD_USAGE: 2,
  /** A study file, or a scan in it, that cannot be understood or cannot be played. */
  BAD_STUDY: 2,
  /** A protocol file to import (sidecar, DICOM, Pulseq) that cannot be understood. */
  BAD_PROTOCOL: 2,
  /** An audio file that cannot be read. */
  BAD_AUDIO: 2,
  /** A kit folder or table that cannot be understood. */
  BAD_KIT: 2,
  /** A family's log that cannot be understood, as a file or as a code. */
  BAD_LOG: 2,
  /** A file or folder that is missing or may not be read. */
  CANNOT_READ: 2,
  /** A place that cannot be written: exists already, no permission, no space. */
  CANNOT_WRITE: 2,
  /** Refused for safety: the result could hurt a listener. */
  UNSAFE: 3,
} as const;

export type UserErrorCode = keyof typeof USER_ERROR_EXIT_CODES;

/** One thing that is wrong: where, what was found, what is allowed, and what to do about it. */
export interface Problem {
  /** File, line and field, for example `study.yaml:12 scans[1].EchoTime`. */
  readonly where: string;
  /** What is wrong, with the value that was found. A sentence without its full stop. */
  readonly found: string;
  /** What would be right, with units. A sentence without its full stop. */
  readonly allowed: string;
  /** What to do. A sentence. */
  readonly fix: string;
}

/**
 * One or more problems that the user can fix, or one refusal for safety.
 *
 * `message` is the headline; every problem is listed below it by the command line.
 */
export class UserError extends Error {
  override readonly name = 'UserError';

  constructor(
    readonly code: UserErrorCode,
    message: string,
    readonly problems: readonly Problem[],
    options?: ErrorOptions,
  ) {
    super(message, options);
  }

  /** The process exit status for this error. */
  get exitCode(): number {
    return USER_ERROR_EXIT_CODES[this.code];
  }
}

/** The user stopped the program (Ctrl+C, or a signal to end): everything half-written is gone. */
export class InterruptedError extends Error {
  override readonly name = 'InterruptedError';

  constructor() {
    super('stopped');
  }
}

/** Exit status after {@link InterruptedError}: 128 + SIGINT, as shells have it. */
export const INTERRUPTED_EXIT_CODE = 130;
