/**
 * What a command may use of the outside world, so that it can be run in a test without a process.
 *
 * @module
 */

export interface CliContext {
  /** Results: text, tables, JSON. */
  readonly out: (text: string) => void;
  /** Progress, warnings and errors. */
  readonly err: (text: string) => void;
  /** Whether the error stream is a terminal, so that a progress bar makes sense. */
  readonly errIsTerminal: boolean;
  /** Whether results may be coloured: the output is a terminal and NO_COLOR is not set. */
  readonly colour: boolean;
  /** Width of the output in characters. */
  readonly columns: number;
  /** Today's date in local time, `YYYY-MM-DD`. */
  readonly today: () => string;
}
