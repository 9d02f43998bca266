/**
 * `softknock exposure`: how much of the published limits a listener uses.
 *
 * @module
 */
import { Command, InvalidArgumentError, Option } from 'commander';
import { type Problem, UserError } from '../errors.js';
import { HIGHEST_LEVEL_DBA } from '../levels/dose-limits.js';
import type { CliContext } from './context.js';
import type { ExposureQuestion } from './exposure-report.js';

interface Options {
  readonly level?: number;
  readonly minutes?: number;
  readonly per: 'day' | 'week';
  readonly listener: 'child' | 'adult';
  readonly uncertainty?: number;
  readonly peak?: number;
  readonly calibration?: number;
  readonly times?: number;
  readonly json?: true;
}

/** Levels that can be asked about, in dBA: from a silent room to a jet beside the ear. */
const LEVEL_DBA = { min: 0, max: 140 } as const;

/** Peaks that can be asked about, in dBC. */
const PEAK_DBC = { min: 0, max: 194 } as const;

/** What full scale may be said to give at the ear, in dB. */
const CALIBRATION_DB = { min: 30, max: 150 } as const;

/** Minutes in a period. */
const MINUTES_PER = { day: 24 * 60, week: 7 * 24 * 60 } as const;

export function exposureCommand(context: CliContext): Command {
  return new Command('exposure')
    .description('Say how much of the published sound dose limits a listener uses.')
    .argument('[audio...]', 'audio files or playlists: their own levels and lengths count')
    .option('--level <dBA>', 'level at the ear', numberIn(LEVEL_DBA, 'dBA'))
    .option(
      '--minutes <M>',
      'how long it is heard',
      numberIn({ min: 0, max: MINUTES_PER.week }, 'minutes'),
    )
    .addOption(
      new Option('--per <period>', 'the minutes, or the times, are those of one day or one week')
        .choices(['day', 'week'])
        .default('day'),
    )
    .addOption(
      new Option('--listener <who>', 'whose allowance')
        .choices(['child', 'adult'])
        .default('child'),
    )
    .option('--peak <dBC>', 'C-weighted peak at the ear, too', numberIn(PEAK_DBC, 'dBC'))
    .option(
      '--calibration <dB>',
      'for audio files: the dBA that a full-scale 1 kHz sine gives at the ear',
      numberIn(CALIBRATION_DB, 'dB'),
    )
    .option(
      '--uncertainty <dB>',
      'how far the level may be off (0 unless stated; 5 for audio files)',
      numberIn({ min: 0, max: 40 }, 'dB'),
    )
    .option(
      '--times <N>',
      'how often the audio files are played (1 unless given)',
      numberIn({ min: 0, max: 10_000 }, 'times'),
    )
    .option('--json', 'print one JSON document')
    .addHelpText('after', HELP_END)
    .action(async (paths: string[], options: Options) => {
      requireQuestion(paths, options);
      const { exposureJson, exposureText } = await import('./exposure-report.js');
      const question =
        paths.length === 0 ? statedQuestion(options) : await filesQuestion(paths, options, context);
      requireTime(question);
      context.out(options.json ? exposureJson(question) : exposureText(question));
    });
}

const HELP_END = `
Levels are those in the room or at the ear canal's entrance, as a sound level meter at the ear shows
them. The WHO-ITU allowance is the one to plan by: children 75 dBA, adults 80 dBA for 40 hours a week.
The other limits are for grown workers, for comparison. Minutes given per week are spread over seven
days where a limit is daily.

Examples:
  softknock exposure --level 65 --minutes 20 --per day --listener child
  softknock exposure --level 70 --minutes 120 --per week --uncertainty 5 --json
  softknock exposure playlist.m3u8 --calibration 85 --uncertainty 3 --times 2
`;

/** One level for a time. */
function statedQuestion({
  level,
  minutes,
  peak,
  uncertainty,
  per,
  listener,
}: Options): ExposureQuestion {
  return {
    parts: [{ levelDba: level!, durationSeconds: 60 * minutes! }],
    uncertaintyDb: uncertainty ?? 0,
    per,
    listener,
    ...(peak !== undefined && { peakDbc: peak }),
  };
}

/** The levels of files, as a calibration says they arrive at the ear. */
async function filesQuestion(
  paths: readonly string[],
  { calibration, uncertainty, times = 1, per, listener }: Options,
  context: CliContext,
): Promise<ExposureQuestion> {
  const { audioPaths } = await import('../io/audio-paths.js');
  const { measureFile } = await import('../io/measure-file.js');
  const { startProgress } = await import('../io/progress.js');
  const { UNSTATED_UNCERTAINTY_DB } = await import('../levels/calibration.js');
  const files = await audioPaths(paths);
  const progress = startProgress(context, 'Measuring', files.length);
  const parts = [];
  let peakDbc = -Infinity;
  try {
    for (const path of files) {
      const { levels, warnings } = await measureFile(path);
      for (const warning of warnings) context.err(`${path}: ${warning}\n`);
      const levelDba = levels.laeqDbfs + calibration!;
      requireLevel(path, levelDba);
      parts.push({ levelDba, durationSeconds: times * levels.durationSeconds });
      peakDbc = Math.max(peakDbc, levels.lcpeakDbfs + calibration!);
      progress.step();
    }
  } finally {
    progress.stop();
  }
  return {
    parts,
    uncertaintyDb: uncertainty ?? UNSTATED_UNCERTAINTY_DB,
    per,
    listener,
    ...(peakDbc > -Infinity && { peakDbc }),
  };
}

/** Samples of floating-point files may be far beyond full scale. */
function requireLevel(path: string, levelDba: number): void {
  if (levelDba <= HIGHEST_LEVEL_DBA) return;
  throw new UserError('BAD_AUDIO', 'A file is louder than any sound.', [
    {
      where: path,
      found: `${levelDba.toFixed(0)} dBA at the ear with this calibration`,
      allowed: `up to ${HIGHEST_LEVEL_DBA} dBA`,
      fix: 'Check the calibration, and whether the samples of the file are scaled to 1.',
    },
  ]);
}

function requireQuestion(paths: readonly string[], options: Options): void {
  const { level, minutes, calibration, peak, times } = options;
  const hasFiles = paths.length > 0;
  const problems: Problem[] = [];
  const missing = (option: string, allowed: string): void => {
    problems.push({ where: option, found: 'nothing', allowed, fix: `Add ${option}.` });
  };
  if (hasFiles && calibration === undefined) {
    missing('--calibration', 'the dBA that a full-scale 1 kHz sine gives at the ear');
  }
  if (!hasFiles && level === undefined) missing('--level', 'a level in dBA, or audio files');
  if (!hasFiles && minutes === undefined) missing('--minutes', 'a time in minutes, or audio files');
  const unused = hasFiles
    ? { '--level': level, '--minutes': minutes, '--peak': peak }
    : { '--calibration': calibration, '--times': times };
  for (const [option, value] of Object.entries(unused)) {
    if (value === undefined) continue;
    problems.push({
      where: option,
      found: `${value} ${hasFiles ? 'beside' : 'without'} audio files`,
      allowed: hasFiles ? 'audio files with a calibration' : 'a level with minutes',
      fix: `Leave ${option} out.`,
    });
  }
  if (problems.length > 0) {
    throw new UserError('BAD_USAGE', 'This does not say what is heard, and how long.', problems);
  }
}

function requireTime({ parts, per }: ExposureQuestion): void {
  const minutes = parts.reduce((sum, { durationSeconds }) => sum + durationSeconds, 0) / 60;
  if (minutes <= MINUTES_PER[per]) return;
  throw new UserError('BAD_USAGE', `A ${per} is not that long.`, [
    {
      where: '--minutes',
      found: `${minutes.toFixed(0)} minutes per ${per}`,
      allowed: `up to ${MINUTES_PER[per]}`,
      fix: per === 'day' ? 'Did you mean --per week?' : 'Give fewer minutes or times.',
    },
  ]);
}

function numberIn(
  { min, max }: { readonly min: number; readonly max: number },
  unit: string,
): (text: string) => number {
  return text => {
    const value = Number(text);
    if (text.trim() === '' || !(value >= min && value <= max)) {
      throw new InvalidArgumentError(`Allowed: ${min} to ${max} ${unit}.`);
    }
    return value;
  };
}
