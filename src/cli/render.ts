/**
 * `softknock render`: one sound as an audio file.
 *
 * @module
 */
import { Command, InvalidArgumentError, Option } from 'commander';
import type { Perspective } from '../acoustics/listening.js';
import { UserError } from '../errors.js';
import type { CliContext } from './context.js';
import { formatClock } from './format.js';

interface Options {
  readonly scan: string;
  readonly seconds?: number;
  readonly perspective: Perspective;
  readonly out: string;
  readonly json?: true;
}

/** Longest sound rendered, in s. */
const LONGEST_SECONDS = 3600;

export function renderCommand(context: CliContext): Command {
  return new Command('render')
    .description("Write one scan's sound to a WAV file.")
    .argument('<study.yaml>', 'study file')
    .requiredOption('--scan <name>', 'name of the scan')
    .requiredOption('--out <file>', 'WAV file to write; one that exists is left alone')
    .option('--seconds <s>', 'length; the whole scan unless given', parseSeconds)
    .addOption(
      new Option('--perspective <where>', 'as heard in the bore, or under hearing protection')
        .choices(['bore', 'protected'])
        .default('protected'),
    )
    .option('--json', 'print one JSON document')
    .addHelpText(
      'after',
      `
The file's level is that of quiet talk at an ordinary playing volume, not that of the scanner. It is
for looking and comparing: what a child hears at home comes from softknock kit, with its limits.

Example:
  softknock render study.yaml --scan func-rest --seconds 10 --out func-rest.wav
`,
    )
    .action(async (path: string, options: Options) => {
      requireWavName(options.out);
      const { loadStudy, selectScans } = await import('../io/load-study.js');
      const { renderScan } = await import('../io/render-scan.js');
      const study = selectScans(await loadStudy(path), options.scan);
      for (const warning of study.warnings) context.err(`Note: ${warning}\n`);
      const rendered = await renderScan(study, { ...options, seconds: options.seconds });
      if (options.json) {
        context.out(`${JSON.stringify(rendered, null, 2)}\n`);
        return;
      }
      const where = options.perspective === 'bore' ? 'in the bore' : 'under hearing protection';
      context.out(
        `${rendered.file}: ${options.scan}, ${formatClock(rendered.durationSeconds)}, ` +
          `${rendered.laeqDbfs.toFixed(1)} dBFS in the file (A-weighted), ` +
          `about ${rendered.expectedLaeqDba.toFixed(0)} dBA ${where}\n`,
      );
    });
}

function parseSeconds(text: string): number {
  const seconds = Number(text);
  if (seconds >= 0.1 && seconds <= LONGEST_SECONDS) return seconds;
  throw new InvalidArgumentError(`Give seconds from 0.1 to ${LONGEST_SECONDS}.`);
}

/** A file of another ending would be a WAV file all the same. */
function requireWavName(file: string): void {
  if (/\.wave?$/i.test(file)) return;
  throw new UserError('BAD_USAGE', 'This is no name of a WAV file.', [
    {
      where: '--out',
      found: file,
      allowed: 'a name that ends in .wav: render writes WAV files only',
      fix: 'End the name in .wav.',
    },
  ]);
}
