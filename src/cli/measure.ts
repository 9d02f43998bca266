/**
 * `softknock measure`: the levels of audio files.
 *
 * @module
 */
import { Command, InvalidArgumentError } from 'commander';
import { type Problem, UserError } from '../errors.js';
import type { MeasuredFile } from '../io/measure-file.js';
import type { CliContext } from './context.js';
import type { MeasureReport } from './measure-report.js';

interface Options {
  readonly json?: true;
  readonly csv?: true;
  readonly reference?: string;
  readonly calibration?: number;
  readonly uncertainty?: number;
}

/** Largest uncertainty that can be stated, in dB: beyond it a calibration says nothing. */
const MAX_UNCERTAINTY_DB = 40;

/** What full scale may be said to give at the ear, in dB. */
const CALIBRATION_DB = { min: 30, max: 150 } as const;

export function measureCommand(context: CliContext): Command {
  return new Command('measure')
    .description('Say how loud audio files are.')
    .argument('<audio...>', 'WAV, MP3 or FLAC files, or M3U8 playlists of them')
    .option(
      '--reference <file>',
      "levels re this file's LAeq, too (for example the voice reference)",
    )
    .option(
      '--calibration <dB>',
      'levels at the ear, too: the dBA that a full-scale 1 kHz sine gives there',
      numberBetween(CALIBRATION_DB.min, CALIBRATION_DB.max),
    )
    .option(
      '--uncertainty <dB>',
      'how far the calibration may be off (5 unless stated)',
      numberBetween(0, MAX_UNCERTAINTY_DB),
    )
    .option('--json', 'print one JSON document')
    .option('--csv', 'print one CSV table')
    .addHelpText('after', HELP_END)
    .action(async (given: string[], options: Options) => {
      requireConsistent(options);
      const { audioPaths } = await import('../io/audio-paths.js');
      const { measureFile } = await import('../io/measure-file.js');
      const { startProgress } = await import('../io/progress.js');
      const { csvReport, jsonReport, textReport } = await import('./measure-report.js');
      const { UNSTATED_UNCERTAINTY_DB } = await import('../levels/calibration.js');

      const paths = await audioPaths(given);
      const reference =
        options.reference === undefined ? undefined : await measureFile(options.reference);
      if (reference !== undefined) requireAudible(reference);
      const files: MeasuredFile[] = [];
      const problems: Problem[] = [];
      const progress = startProgress(context, 'Measuring', paths.length);
      try {
        for (const path of paths) {
          try {
            files.push(await measureFile(path));
          } catch (error) {
            if (!(error instanceof UserError)) throw error;
            problems.push(...error.problems);
          }
          progress.step();
        }
      } finally {
        progress.stop();
      }

      const report: MeasureReport = {
        files,
        ...(reference !== undefined && { reference }),
        ...(options.calibration !== undefined && {
          calibration: {
            fullScaleDb: options.calibration,
            uncertaintyDb: options.uncertainty ?? UNSTATED_UNCERTAINTY_DB,
          },
        }),
      };
      if (options.json) context.out(jsonReport(report));
      else if (options.csv) context.out(csvReport(report));
      else if (files.length > 0) context.out(textReport(report));
      for (const { path, warnings } of files) {
        for (const warning of warnings) context.err(`${path}: ${warning}\n`);
      }
      if (problems.length > 0) {
        const count = `${problems.length} of ${paths.length}`;
        throw new UserError('BAD_AUDIO', `Could not measure ${count} files.`, problems);
      }
    });
}

const HELP_END = `
dBFS is re the RMS of a full-scale sine: a full-scale 1 kHz sine reads 0. Of several channels the
loudest counts, since over headphones each ear gets one.

A level at the ear depends on the device, its volume and the place. It is printed as expected
(low-high); a sound level meter at the ear beats any estimate.

Examples:
  softknock measure scan.wav
  softknock measure steps/*.mp3 --reference voice-reference.mp3
  softknock measure scan.wav --calibration 92 --uncertainty 2 --json
`;

function requireConsistent(options: Options): void {
  const problems: Problem[] = [];
  if (options.json && options.csv) {
    problems.push({
      where: '--json --csv',
      found: 'two forms of output',
      allowed: 'one of them',
      fix: 'Leave one out.',
    });
  }
  if (options.uncertainty !== undefined && options.calibration === undefined) {
    problems.push({
      where: '--uncertainty',
      found: 'an uncertainty without a calibration',
      allowed: '--uncertainty beside --calibration',
      fix: 'State the calibration, or leave the uncertainty out.',
    });
  }
  if (problems.length > 0) throw new UserError('BAD_USAGE', 'These options do not fit.', problems);
}

function requireAudible({ path, levels }: MeasuredFile): void {
  if (levels.laeqDbfs > -Infinity) return;
  throw new UserError('BAD_AUDIO', `Cannot measure re ${path}.`, [
    {
      where: path,
      found: 'silence',
      allowed: 'a reference that can be heard',
      fix: 'Give the right file.',
    },
  ]);
}

function numberBetween(min: number, max: number): (text: string) => number {
  return text => {
    const value = Number(text);
    if (text.trim() === '' || !(value >= min && value <= max)) {
      throw new InvalidArgumentError(`Allowed: ${min} to ${max} dB.`);
    }
    return value;
  };
}
