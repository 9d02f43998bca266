/**
 * `softknock import`: BIDS datasets, sidecars, DICOM and Pulseq files -> a study file.
 *
 * @module
 */
import path from 'node:path';
import { Command } from 'commander';
import { UserError } from '../errors.js';
import { FIELD_NAMES, FIELDS } from '../protocol/fields.js';
import type { ImportResult } from '../import/import-sidecars.js';
import { singleLine } from '../protocol/quote.js';
import type { CliContext } from './context.js';
import { formatTable } from './table.js';

interface Options {
  readonly out?: string;
  readonly json?: true;
}

/** Most skipped files that are listed in words; all stand in the JSON. */
const MAX_LISTED = 20;

export function importCommand(context: CliContext): Command {
  return new Command('import')
    .description(
      'Make a study file from a BIDS dataset, from sidecars, DICOM files or Pulseq files.',
    )
    .argument(
      '<path...>',
      'folder of a BIDS dataset, folder with sidecars or DICOM files, or such files; Pulseq files (.seq)',
    )
    .option('--out <study.yaml>', 'write the study file here; it must not exist yet')
    .option('--json', 'print one JSON document instead of the study file')
    .addHelpText(
      'after',
      `
Without --out the study file is printed. Every value in it says whether it was found, derived from what
was found, or assumed. Names of people and places, serial numbers, dates and free text stay behind. Of
DICOM files only headers are read, and files in a folder are counted, not named: names often hold those of
people.

Examples:
  softknock import my-dataset --out study.yaml
  softknock import sub-01_task-rest_bold.json sub-01_T1w.json --json
  softknock import scans-from-the-scanner --out study.yaml
  softknock import sub-01_T1w.json spiral.seq --out study.yaml
`,
    )
    .action(async (paths: readonly string[], options: Options) => {
      const { importPaths } = await import('../io/import-paths.js');
      const { draftOfImport } = await import('../import/import-draft.js');
      const { writeStudyFile } = await import('../protocol/write-study-file.js');
      const result = await importPaths(paths, path.dirname(options.out ?? 'study.yaml'));
      if (result.scans.length === 0) throw nothingFound(result);
      const text = writeStudyFile(draftOfImport(result));
      if (options.out !== undefined) {
        const { writeNewText } = await import('../io/write-new-text.js');
        await writeNewText(options.out, text);
      }
      if (options.json) context.out(`${JSON.stringify(toJson(result), null, 2)}\n`);
      else if (options.out === undefined) context.out(text);
      context.err(summary(result, options.out));
    });
}

function nothingFound({ skipped }: ImportResult): UserError {
  return new UserError(
    'BAD_PROTOCOL',
    'No scan could be imported.',
    skipped.slice(0, MAX_LISTED).map(({ file, why }) => ({
      where: singleLine(file),
      found: why,
      allowed:
        'BIDS sidecars (.json) or DICOM files of MRI scans, a folder of them, Pulseq files (.seq)',
      fix: 'Give other files, or write the study file by hand, starting from the example study.',
    })),
  );
}

/** What `--json` prints. */
function toJson({ scanner, scans, skipped, notes }: ImportResult): unknown {
  return {
    scanner: {
      name: scanner.name,
      fields: [{ name: 'MagneticFieldStrength', unit: 'T', ...scanner.MagneticFieldStrength }],
    },
    scans: scans.map(scan => ({
      name: scan.name,
      type: scan.type,
      file: scan.file,
      fields: FIELD_NAMES.flatMap(name => {
        const field = scan.fields[name];
        return field === undefined ? [] : [{ name, unit: FIELDS[name].unit, ...field }];
      }),
      missing: scan.missing,
      notes: scan.notes,
      files: scan.files,
    })),
    skipped,
    notes,
  };
}

function summary({ scans, skipped, notes }: ImportResult, out: string | undefined): string {
  const table = formatTable(
    [{ title: 'scan' }, { title: 'type' }, { title: 'files', right: true }, { title: 'not found' }],
    scans.map(({ name, type, files, missing }) => [
      name,
      type,
      String(files.length),
      missing.join(', '),
    ]),
  );
  const remarks = [
    ...notes,
    ...scans.flatMap(scan => scan.notes.map(note => `${scan.name}: ${note}`)),
  ];
  return [
    `\n${table}`,
    ...(remarks.length > 0 ? [`\n${remarks.map(remark => `- ${remark}\n`).join('')}`] : []),
    ...(skipped.length > 0 ? [`\nSkipped:\n${listed(skipped)}`] : []),
    `\n${out ?? 'The study file'} holds placeholders for the name of the study and its contact: fill them in.\n`,
  ].join('');
}

function listed(skipped: ImportResult['skipped']): string {
  const lines = skipped
    .slice(0, MAX_LISTED)
    .map(({ file, why }) => `- ${singleLine(file)}: ${why}\n`);
  const more = skipped.length - lines.length;
  return `${lines.join('')}${more > 0 ? `- and ${more} more (see --json)\n` : ''}`;
}
