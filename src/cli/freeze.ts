/**
 * `softknock freeze`: the words of a study, for its ethics board.
 *
 * @module
 */
import { Command } from 'commander';
import type { CliContext } from './context.js';

interface Options {
  readonly out: string;
  readonly json?: true;
}

export function freezeCommand(context: CliContext): Command {
  return new Command('freeze')
    .description('Write down all words that families read, to have them approved and kept so.')
    .argument('<study.yaml>', 'study file')
    .option(
      '--out <file>',
      'where they are written, from the folder of the study file; a file that exists is left alone',
      'approved-texts.yaml',
    )
    .option('--json', 'print one JSON document')
    .addHelpText('after', HELP)
    .action(async (studyFile: string, options: Options) => {
      const { freezeTexts } = await import('../io/freeze-texts.js');
      const frozen = await freezeTexts(studyFile, options.out);
      const { count, file, hash, unreviewed } = frozen;
      if (unreviewed > 0) {
        context.err(
          `Note: ${unreviewed} strings of this translation are not reviewed by a native speaker yet.\n`,
        );
      }
      if (options.json) {
        context.out(`${JSON.stringify(frozen, null, 2)}\n`);
        return;
      }
      context.out(`${count} strings are in ${file}.
Send that file to the ethics board. Once it is approved, write into the study file:

approval:
  reference: ... # of the approval
  date: ... # YYYY-MM-DD
  texts: ${JSON.stringify(options.out)}
  textsHash: ${hash}
`);
    });
}

const HELP = `
With an approval in the study file, kits are final: no document says draft, and a kit is built only
from the approved words. A string that was changed since stops the build, with both wordings.

Example:
  softknock freeze study.yaml --out approved-texts-2027-02.yaml
`;
