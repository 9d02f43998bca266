/**
 * `softknock verify`: whether a kit is what it says it is.
 *
 * @module
 */
import { Command } from 'commander';
import { UserError } from '../errors.js';
import type { Verification } from '../kit/verify/verify-kit.js';
import { printable } from '../protocol/quote.js';
import type { CliContext } from './context.js';
import { formatCeiling } from './format.js';
import { formatTable } from './table.js';

interface Options {
  readonly absent?: readonly string[];
  readonly json?: true;
}

export function verifyCommand(context: CliContext): Command {
  return new Command('verify')
    .description('Check a kit: all files unchanged, levels as stated and within limits, no names.')
    .argument('<kit-folder>', 'folder of the kit')
    .option(
      '--absent <word>',
      'a word that must occur nowhere, such as a name (repeatable)',
      collect,
    )
    .option('--json', 'print one JSON document')
    .addHelpText('after', HELP)
    .action(async (folder: string, options: Options) => {
      requireLongEnough(options.absent ?? []);
      const { countAudio, verifyFolder } = await import('../io/verify-folder.js');
      const { startProgress } = await import('../io/progress.js');
      const progress = startProgress(context, 'Measuring', await countAudio(folder));
      let result: Verification;
      try {
        result = await verifyFolder(folder, options.absent ?? [], progress.step);
      } finally {
        progress.stop();
      }
      if (options.json) context.out(`${JSON.stringify(asJson(folder, result), null, 2)}\n`);
      for (const note of result.notes) context.err(`Note: ${note}\n`);
      refuse(folder, result);
      if (!options.json) context.out(summary(result));
    });
}

const HELP = `
Every audio file is decoded and measured again. Ends with 0 when all is well, 2 when something is
wrong, 3 when a level, a rise or the minutes of a day or week pass a limit. A log that was written in
is as it should be.

Examples:
  softknock verify out/7KMP-4XCW
  softknock verify out/7KMP-4XCW --absent F012 --absent Smith
`;

const collect = (word: string, words: readonly string[] = []): readonly string[] => [
  ...words,
  word,
];

/** Shorter ones stand in audio and checksums by chance: three characters some three times in a kit. */
const SHORTEST_WORD = 4;

/** @throws {UserError} `BAD_USAGE`: a word that would be found in any kit. */
function requireLongEnough(words: readonly string[]): void {
  const short = words.filter(word => word.trim().length < SHORTEST_WORD);
  if (short.length === 0) return;
  throw new UserError(
    'BAD_USAGE',
    'The command cannot be carried out.',
    short.map(word => ({
      where: '--absent',
      found: `"${printable(word)}", which is so short that it stands in any audio file by chance`,
      allowed: `words of at least ${SHORTEST_WORD} characters`,
      fix: 'Give a longer word, such as the whole name; give ids of at least four characters.',
    })),
  );
}

/** @throws {UserError} Something is wrong with the kit. */
function refuse(folder: string, { problems, unsafe }: Verification): void {
  if (unsafe.length > 0) {
    throw new UserError('UNSAFE', `${folder} must not be played.`, [...unsafe, ...problems]);
  }
  if (problems.length === 0) return;
  const count = problems.length === 1 ? 'one problem' : `${problems.length} problems`;
  throw new UserError('BAD_KIT', `${folder} has ${count}.`, problems);
}

function summary({ kit, manifest, voiceLaeqDbfs, steps }: Verification): string {
  const table = formatTable(
    [
      { title: 'step', right: true },
      { title: 'stated, dB re talk', right: true },
      { title: 'measured', right: true },
      { title: 'FAST max', right: true },
      { title: 'rise in 50 ms', right: true },
      { title: 'true peak', right: true },
    ],
    steps.map(({ number, sounds, largestRiseDb, truePeakDbtp }) => [
      String(number),
      range(sounds.map(({ offsetDb }) => offsetDb)),
      range(sounds.map(({ measuredOffsetDb }) => measuredOffsetDb)),
      Math.max(...sounds.map(sound => sound.measuredLafmaxOffsetDb)).toFixed(1),
      `${largestRiseDb.toFixed(1)} dB`,
      `${truePeakDbtp.toFixed(1)} dBTP`,
    ]),
  );
  return `Kit ${kit} is as it was built: all files unchanged, levels as stated and within limits.
Voice reference: ${voiceLaeqDbfs!.toFixed(2)} dBFS. ${formatCeiling(manifest!.ceiling)}

${table}`;
}

function range(values: readonly number[]): string {
  const [low, high] = [tenths(Math.min(...values)), tenths(Math.max(...values))];
  return low === high ? low : `${low} to ${high}`;
}

/** One decimal; never "-0.0". */
const tenths = (value: number): string => (Math.round(value * 10) / 10 + 0).toFixed(1);

function asJson(folder: string, result: Verification): object {
  const { kit, manifest, voiceLaeqDbfs, steps, problems, unsafe, notes } = result;
  const ok = problems.length === 0 && unsafe.length === 0;
  return {
    folder,
    kit,
    ok,
    ceiling: manifest?.ceiling ?? null,
    voiceReference: { laeqDbfs: voiceLaeqDbfs },
    steps,
    unsafe,
    problems,
    notes,
  };
}
