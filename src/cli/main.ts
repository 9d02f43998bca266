/**
 * The command line: parse, run one command, end with its status.
 *
 * A command's file holds its options and its printing; what it needs to do the work is imported
 * when it runs, so that `--help` stays quick.
 *
 * @module
 */
import { Command, CommanderError } from 'commander';
import { INTERRUPTED_EXIT_CODE, InterruptedError, UserError } from '../errors.js';
import type { CliContext } from './context.js';
import { describeCommand } from './describe.js';
import { exposureCommand } from './exposure.js';
import { freezeCommand } from './freeze.js';
import { importCommand } from './import.js';
import { kitCommand } from './kit.js';
import { measureCommand } from './measure.js';
import { explainError, explainFault } from './print-error.js';
import { renderCommand } from './render.js';
import { reviseCommand } from './revise.js';
import { verifyCommand } from './verify.js';
import { packageVersion } from '../io/version.js';

/** Exit status for a fault of ours. */
const FAULT = 1;

/** Exit status for a command line that commander refuses. */
const BAD_USAGE = 2;

/** Runs one command line and returns the exit status. */
export async function run(args: readonly string[], context = processContext()): Promise<number> {
  const program = buildProgram(context);
  try {
    await program.parseAsync(args, { from: 'user' });
    return 0;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : BAD_USAGE;
    if (error instanceof UserError) {
      context.err(explainError(error));
      return error.exitCode;
    }
    if (error instanceof InterruptedError) {
      context.err('Stopped. Nothing half-written is left.\n');
      return INTERRUPTED_EXIT_CODE;
    }
    context.err(explainFault(error));
    return FAULT;
  }
}

function buildProgram(context: CliContext): Command {
  const program = new Command('softknock')
    .description(
      "Turns a study's MRI protocol into a graded listening kit that a family plays at home.",
    )
    .version(packageVersion())
    .addHelpText('after', HELP_END);
  for (const command of [
    kitCommand,
    importCommand,
    describeCommand,
    renderCommand,
    measureCommand,
    exposureCommand,
    freezeCommand,
    reviseCommand,
    verifyCommand,
  ]) {
    program.addCommand(command(context));
  }
  for (const command of [program, ...program.commands]) {
    command
      .exitOverride()
      .showHelpAfterError('(add --help for what is allowed)')
      .configureOutput({ writeOut: context.out, writeErr: context.err });
  }
  return program;
}

const HELP_END = `
Example:
  softknock kit study.yaml --family F012 --age 7 --scan-date 2027-06-14 --out kits

Levels are limits, not advice: a kit that could be too loud is not built.
The sounds make a scan familiar; they do not promise that a scan succeeds.
`;

function processContext(): CliContext {
  return {
    out: text => process.stdout.write(text),
    err: text => process.stderr.write(text),
    errIsTerminal: process.stderr.isTTY,
    colour: process.stdout.isTTY && process.env['NO_COLOR'] === undefined,
    columns: process.stdout.isTTY ? process.stdout.columns : 100,
    today: () => {
      const now = new Date();
      const two = (part: number): string => String(part).padStart(2, '0');
      return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
    },
  };
}
