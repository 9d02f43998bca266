/**
 * `softknock kit`: one family's kit.
 *
 * @module
 */
import { Command } from 'commander';
import { wrapWords } from '../formats/wrap-words.js';
import type { MadeKit, PreparedKit } from '../io/make-kit.js';
import type { ManifestStep } from '../kit/manifest/manifest.js';
import { INTAKE_FLAGS } from '../protocol/intake.js';
import { HARD_SOUND_WAYS } from '../protocol/plan-settings.js';
import type { CliContext } from './context.js';
import { formatCeiling, formatClock, formatRange } from './format.js';
import { formatTable } from './table.js';

interface Options {
  readonly family: string;
  readonly age?: string;
  readonly scanDate?: string;
  readonly startDate?: string;
  readonly intake?: string;
  readonly clearedBy?: string;
  readonly hard?: readonly string[];
  readonly voiceDba?: string;
  readonly device?: string;
  readonly measuredBy?: string;
  readonly out: string;
  readonly wav?: true;
  readonly disc?: true;
  readonly small?: true;
  readonly zip?: true;
  readonly staff?: true;
  readonly preview?: true;
  readonly html?: string;
  readonly cache: boolean;
  readonly json?: true;
}

/** Family when none is named: for trying out. */
const SAMPLE_FAMILY = 'sample';

export function kitCommand(context: CliContext): Command {
  return new Command('kit')
    .description("Build one family's listening kit: audio per step, page, guide, log.")
    .argument('<study.yaml>', 'study file')
    .option(
      '--family <id>',
      "the family's id in the study; the kit shows a code instead",
      SAMPLE_FAMILY,
    )
    .option('--age <years>', "the child's age; decides on length and pace of the plan")
    .option('--scan-date <date>', 'day of the scan, YYYY-MM-DD; without it the plan has no dates')
    .option('--start-date <date>', 'first day on which the family may practise, YYYY-MM-DD')
    .option(
      '--intake <answers>',
      `what the family said yes to: none, or any of ${INTAKE_FLAGS.join(', ')}`,
    )
    .option('--cleared-by <name>', 'who cleared a child whose answers hold the kit')
    .option(
      '--hard <scan=way>',
      `one sound that is hard for this child: ${HARD_SOUND_WAYS.join(', ')} (repeatable)`,
      collect,
    )
    .option(
      '--voice-dba <level>',
      'what a sound level meter showed where the child will sit, at the volume that was marked',
    )
    .option('--device <name>', 'the device that was measured and marked')
    .option('--measured-by <name>', 'who measured it')
    .option('--out <folder>', "where the kit's folder is made", 'out')
    .option('--wav', 'each step as WAV too')
    .option('--disc', 'audio CDs too: an image with its CUE sheet for each')
    .option('--small', 'at most 30 MB: coded at a lower bit rate where it must be')
    .option('--zip', 'the kit as one file too, to send')
    .option(
      '--staff',
      'for staff, in a folder of their own: card, labels, loudness, the visit for the practice room',
    )
    .option('--preview', 'show the plan as a table and a chart, and build nothing')
    .option(
      '--html <file>',
      'with --preview: the plan as a page too; a file that exists is left alone',
    )
    .option('--no-cache', 'make everything anew, and keep nothing of it for later kits')
    .option('--json', 'print the manifest (or the plan) as one JSON document')
    .addHelpText('after', HELP)
    .action(async (studyFile: string, options: Options) => {
      const { checkKitOptions } = await import('./kit-options.js');
      const { makeKit, prepareKit } = await import('../io/make-kit.js');
      const { startProgress } = await import('../io/progress.js');
      const checked = checkKitOptions(options);
      const prepared = await prepareKit({
        studyFile,
        ...checked,
        wav: options.wav === true,
        disc: options.disc === true,
        small: options.small === true,
        cache: options.cache,
        today: context.today(),
      });
      for (const warning of prepared.warnings) context.err(`Note: ${warning}\n`);
      if (options.preview) {
        await preview(prepared, options, context);
        return;
      }
      const audioFiles = prepared.kitPlan.plan.steps.length + 1;
      const progress = startProgress(context, 'Building the kit', audioFiles);
      let kit;
      try {
        kit = await makeKit(prepared, {
          out: options.out,
          zip: options.zip === true,
          staff: options.staff === true,
          onEncoded: progress.step,
        });
      } finally {
        progress.stop();
      }
      const { manifest } = kit;
      const known = new Set(prepared.warnings);
      for (const note of manifest.notes) if (!known.has(note)) context.err(`Note: ${note}\n`);
      context.out(options.json ? `${JSON.stringify(manifest, null, 2)}\n` : summary(kit));
    });
}

const collect = (text: string, texts: readonly string[] = []): readonly string[] => [
  ...texts,
  text,
];

async function preview(
  prepared: PreparedKit,
  { html, json }: Options,
  context: CliContext,
): Promise<void> {
  const { previewJson, previewReport } = await import('./kit-preview.js');
  if (html !== undefined) {
    const { planPage } = await import('../study/plan-page.js');
    const { writeNewText } = await import('../io/write-new-text.js');
    const { inputs, kitPlan, warnings } = prepared;
    await writeNewText(html, planPage(inputs.study.name, kitPlan, warnings));
  }
  context.out(json ? previewJson(prepared) : previewReport(prepared, context.columns));
}

const HELP = `
Cautions:
  Too much sound harms hearing. The files have safe levels only if the family sets the volume once
  against ordinary talk and leaves it. Levels at home are estimates, give or take 8 dB.
  Speaker only, no headphones. The child may stop at any time.
  The kit is no treatment. It does not replace the study's own preparation, and it does not promise a
  successful scan. In the scanner, its own ear protection stays on.
  Ask the study's clinician or an audiologist first for children with ear disease, hearing loss or
  hearing devices, tinnitus, pain from sounds, seizures, migraine or a recent head injury.
  Local rules and your ethics approval come first.
  Levels beyond the limits for a child (75 dBA, upper end of the estimate) are not built.

Examples:
  softknock kit study.yaml --family F012 --age 7 --scan-date 2027-06-14 --out kits
  softknock kit study.yaml --family F013 --age 6 --intake sound-sensitive --out kits
  softknock kit study.yaml --age 5 --preview
`;

function summary({ folder, archive, staffFolder, manifest }: MadeKit): string {
  const { kit, plan, steps, sessions, ceiling, ageBand, playback } = manifest;
  const days = new Map<number, number[]>();
  for (const { step, day } of sessions) days.set(step, [...(days.get(step) ?? []), day]);
  const table = formatTable(
    [
      { title: 'step', right: true },
      { title: plan.startDate === null ? 'day' : 'first day' },
      { title: 'new' },
      { title: 're talk', right: true },
      { title: 'dBA (low-high)' },
      { title: 'sounds', right: true },
      { title: 'onset', right: true },
      { title: 'length', right: true },
      { title: "week's dose", right: true },
    ],
    steps.map(step => [
      String(step.number),
      sessions.find(session => session.step === step.number)?.date ??
        String(days.get(step.number)?.[0] ?? ''),
      step.change,
      signed(step.plannedOffsetDb),
      formatRange(step.estimatedLaeqDba),
      String(step.sounds.length),
      `${step.onsetSeconds} s`,
      formatClock(step.durationSeconds),
      dose(step),
    ]),
  );
  const span =
    plan.startDate === null || plan.scanDate === null
      ? `${plan.days} days`
      : `${plan.days} days from ${plan.startDate}, scan on ${plan.scanDate}`;
  return `Kit ${kit} for ${ageBand === 'adult' ? 'an adult' : `${ageBand} years`} is in ${folder}
${steps.length} steps, ${sessions.length} sessions, ${span}

${table}
re talk: dB relative to the voice reference. dBA: at the child's place, if the volume is set as the
page says. Week's dose: share of the WHO-ITU allowance for ${manifest.listener === 'adult' ? 'adults' : 'children'}, if every session of
a full week played that step.
${formatCeiling(ceiling)}

${playback.words
  .slice(0, 2)
  .flatMap(words => wrapWords(words, 100))
  .join('\n')}
On each kind of device, all the way up: ${staffFolder === null ? 'playback.words in kit.json' : `loudness.txt in ${staffFolder}`}.

Next:
  listen to it yourself: open ${folder}/start-here.html and set the volume as the page says
  check it whenever it comes back: softknock verify ${folder}
  give the family ${archive ?? 'the whole folder'} (no single files, no streaming app)${discLine(manifest)}
  for the scan day: ${staffFolder === null ? 'add --staff for a card with these names, and labels' : `print what is in ${staffFolder}`}
`;
}

const discLine = ({ discs }: MadeKit['manifest']): string =>
  discs.length === 0
    ? ''
    : `\n  for a CD player: burn ${discs.map(({ cueSheet }) => cueSheet).join(', ')} as audio CD (disc at once, not as data)`;

const signed = (db: number): string => `${db > 0 ? '+' : ''}${db} dB`;

function dose({ weeklyDosePercent: { intended } }: ManifestStep): string {
  return intended < 0.01 ? '< 0.01 %' : `${intended.toFixed(2)} %`;
}
