/**
 * `softknock describe`: what each scan will sound like, and why.
 *
 * @module
 */
import { Command } from 'commander';
import type { Line } from '../gradients/timeline.js';
import type { DescribedScan, StudyDescription } from '../study/describe-study.js';
import { type CeilingSettings, DEFAULT_CEILING_DBA } from '../protocol/plan-settings.js';
import { formatValue } from '../protocol/format-value.js';
import type { CliContext } from './context.js';
import { formatClock, formatHertz, formatRange } from './format.js';
import { formatTable } from './table.js';

interface Options {
  readonly json?: true;
  readonly scan?: string;
  readonly html?: string;
}

export function describeCommand(context: CliContext): Command {
  return new Command('describe')
    .description('Say what each scan will sound like: pitch, rhythm, length, level, and why.')
    .argument('<study.yaml>', 'study file')
    .option('--scan <name>', 'only this scan, with all its tones and fields')
    .option(
      '--html <file>',
      'write a page with a picture per scan; a file that exists is left alone',
    )
    .option('--json', 'print one JSON document')
    .addHelpText(
      'after',
      `
Levels here are those of the scanner. They come from a model of the scanner's response and may be
off by 8 dB; a reading with a sound level meter at your scanner beats them.

Examples:
  softknock describe study.yaml
  softknock describe study.yaml --scan func-rest
  softknock describe study.yaml --html study.html
`,
    )
    .action(async (path: string, options: Options) => {
      const { loadStudy, selectScans } = await import('../io/load-study.js');
      const { describeStudy } = await import('../study/describe-study.js');
      const { startProgress } = await import('../io/progress.js');
      const study = selectScans(await loadStudy(path), options.scan);
      for (const warning of study.warnings) context.err(`Note: ${warning}\n`);
      const { ceiling } = study.file.plan;
      if (ceiling !== undefined && ceiling.laeqDba > DEFAULT_CEILING_DBA) {
        context.err(`Note: ${raisedWish(ceiling)}\n`);
      }
      const rounds = options.html === undefined ? 1 : 2;
      const progress = startProgress(context, 'Listening', rounds * study.scans.length);
      const description = describeStudy(study.file.study.name, study, progress.step);
      if (options.html !== undefined) {
        const { pictureStudy } = await import('../study/picture-study.js');
        const { describePage } = await import('../study/describe-page.js');
        const { writeNewText } = await import('../io/write-new-text.js');
        const pictures = pictureStudy(description, study, progress.step);
        await writeNewText(options.html, describePage(description, pictures, study.response.note));
      }
      progress.stop();
      if (options.json) context.out(`${JSON.stringify(description, null, 2)}\n`);
      else if (options.scan === undefined) context.out(overview(description));
      else for (const scan of description.scans) context.out(detail(scan));
    });
}

/** Kits of this study are louder than usual, if they are built at all. */
const raisedWish = ({ laeqDba, approvedBy, date, reason }: CeilingSettings): string =>
  `Kits of this study may have ${laeqDba} dBA, above the default of ${DEFAULT_CEILING_DBA} dBA: approved by ${approvedBy ?? 'nobody'} on ${date ?? 'no day'} (${reason ?? 'no reason'}).`;

function overview({ study, scans }: StudyDescription): string {
  const totalSeconds = scans.reduce((sum, scan) => sum + scan.durationSeconds, 0);
  const table = formatTable(
    [
      { title: 'scan' },
      { title: 'length', right: true },
      { title: 'strongest tone', right: true },
      { title: 'rhythm', right: true },
      { title: 'bore, dBA' },
      { title: 'protected, dBA' },
      { title: 'assumed' },
    ],
    scans.map(scan => [
      scan.name,
      formatClock(scan.durationSeconds),
      strongest(scan.tones),
      strongest(scan.rhythm),
      formatRange(scan.levels.boreLaeqDba),
      formatRange(scan.levels.protectedLaeqDba),
      assumedFields(scan),
    ]),
  );
  return `${study}: ${scans.length} scans, ${formatClock(totalSeconds)} of sound\n\n${table}
Levels: A-weighted, expected (low-high), from a model of the scanner's response: good to about 8 dB.
Protected: under ear plugs and ear defenders, as worn in the scan. Assumed: fields that the study file
leaves to typical values. For one scan in full: softknock describe <study.yaml> --scan NAME
`;
}

/** A sequence without gradients has no tones; one that plays once has no rhythm. */
const strongest = ([line]: readonly Line[]): string =>
  line === undefined ? 'none' : formatHertz(line.hertz);

function assumedFields({ fields }: DescribedScan): string {
  const names = fields.filter(({ origin }) => origin === 'assumed').map(({ name }) => name);
  if (names.length === 0) return 'nothing';
  const [first] = names;
  return names.length === 1 ? first! : `${first!} and ${names.length - 1} more`;
}

function detail(scan: DescribedScan): string {
  const lines = (title: string, items: readonly Line[]): string =>
    items
      .map(({ hertz, cause }, i) => {
        return `${(i === 0 ? title : '').padEnd(10)}${formatHertz(hertz).padStart(9)}  ${cause}\n`;
      })
      .join('');
  const fields = formatTable(
    [{ title: 'field' }, { title: 'value' }, { title: 'origin' }, { title: 'why' }],
    scan.fields.map(({ name, value, unit, origin, why }) => [
      name,
      `${formatValue(value)}${unit === '' ? '' : ` ${unit}`}`,
      origin,
      why,
    ]),
  );
  return `${scan.name} ("${scan.plainName}"), ${scan.type}, ${formatClock(scan.durationSeconds)}

${lines('tones', scan.tones)}${lines('rhythm', scan.rhythm)}
in the bore           ${formatRange(scan.levels.boreLaeqDba)} dBA
under hearing protection ${formatRange(scan.levels.protectedLaeqDba)} dBA

${fields}`;
}
