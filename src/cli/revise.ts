/**
 * `softknock revise`: the next plan, from what a family noted.
 *
 * @module
 */
import { Command } from 'commander';
import type { CliContext } from './context.js';

interface Options {
  readonly log?: string;
  readonly code?: string;
  readonly study?: string;
  readonly scanDate?: string;
  readonly restartAt?: string;
  readonly clearedBy?: string;
  readonly preview?: true;
  readonly json?: true;
}

export function reviseCommand(context: CliContext): Command {
  return new Command('revise')
    .description("Make a kit's next plan from what the family noted.")
    .argument('<kit-folder>', "the study's own copy of the kit")
    .option('--log <file>', "the family's log.csv, or - for standard input")
    .option('--code <rows>', 'or the code that the page shows, as it was read out')
    .option('--scan-date <date>', "the scan's new day, YYYY-MM-DD")
    .option('--study <study.yaml>', 'the study file, where sounds must be made that the kit lacks')
    .option('--restart-at <step>', 'after a stop: the step with which practice begins again')
    .option('--cleared-by <name>', 'who decided that; goes into the history of the kit')
    .option('--preview', 'say what would come next and write nothing')
    .option('--json', 'print one JSON document')
    .addHelpText('after', HELP)
    .action(async (folder: string, options: Options) => {
      const { checkReviseOptions } = await import('./revise-options.js');
      const { prepareRevision, writeRevision } = await import('../io/revise-folder.js');
      const { reviseJson, reviseReport } = await import('./revise-report.js');
      const { startProgress } = await import('../io/progress.js');
      const prepared = await prepareRevision({
        folder,
        ...checkReviseOptions(options),
        today: context.today(),
        preview: options.preview === true,
      });
      const { revision, problems, warnings, manifest } = prepared;
      for (const { line, column, found, used } of problems) {
        const where = column === null ? `line ${line}` : `line ${line}, ${column}`;
        context.err(`Log, ${where}: ${found}. Used: ${used}.\n`);
      }
      for (const warning of warnings) context.err(`Note: ${warning}\n`);
      const isWritten = options.preview !== true && revision.isNew;
      if (isWritten) {
        const progress = startProgress(context, 'Making sounds', revision.newSteps.length);
        try {
          await writeRevision(prepared, progress.step);
        } finally {
          progress.stop();
        }
      }
      const result = { folder, manifest, revision, problems, isWritten };
      context.out(options.json ? reviseJson(result) : reviseReport(result, context.columns));
    });
}

const HELP = `
The log may be the whole one each time: what was known already is not counted twice. Nothing that is
missing or unreadable is ever taken as comfortable. A sign such as pain or a seizure stops all
practice, until a person whose name you give lets it begin again on a lower step.
Only files that change are written; every plan that the kit had stays in its history (kit.json). Give
the family the folder again.

Ends with 0 also when practice stops: read what it says.

Examples:
  softknock revise kits/7KMP-4XCW --log log.csv --preview
  softknock revise kits/7KMP-4XCW --log log.csv --study study.yaml
  softknock revise kits/7KMP-4XCW --code "04KD 0G1P 8H2M A0CX" --scan-date 2027-07-01
`;
