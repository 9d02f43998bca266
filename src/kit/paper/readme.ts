/**
 * `README.txt` of a kit: what lies in the folder, for whoever opens it first, in the family's
 * language.
 *
 * @module
 */
import { wrapWords } from '../../formats/wrap-words.js';
import { LOG_COLUMNS } from '../../practice/log-columns.js';
import { SIGNS } from '../../practice/log-entry.js';
import type { KitContent } from '../content.js';
import type { Manifest } from '../manifest/manifest.js';
import { fillIn, type Texts } from '../words/texts.js';

/** Widest line, in characters, where names allow. */
const WIDTH = 80;

/** Plain text. Names of files and columns are the same in every language. */
export function kitReadme({ manifest, contact }: KitContent, texts: Texts, wav: boolean): string {
  const { common, logColumns, readme } = texts.words;
  return `${[
    common.title,
    `${fillIn(common.kit, { code: manifest.kit })}, ${oneLine(manifest.study)}`,
    ...statusLines(manifest.approval, texts),
    '',
    ...[readme.open, readme.offline].flatMap(text => wrap(text)),
    '',
    ...wrap(readme.beforeTitle),
    ...readme.before.flatMap(item => hanging('- ', item)),
    '',
    ...[readme.choice, texts.words.about.benefit, readme.protection].flatMap(text => wrap(text)),
    '',
    ...wrap(readme.sharing),
    '',
    contactLine(contact, readme.questions),
    '',
    readme.filesTitle,
    ...definitions([
      ['start-here.html', readme.page],
      ['guide.pdf', readme.guide],
      ['picture-card.pdf', readme.pictureCard],
      ['voice-reference.mp3', readme.reference],
      ['steps', wav ? readme.stepsWav : readme.steps],
      ...(manifest.discs.length === 0 ? [] : [['disc', readme.disc] as const]),
      ['playlist.m3u8', readme.playlist],
      ['log.csv', readme.log],
      ['kit.json', readme.manifest],
      ['SHA256SUMS', readme.sums],
    ]),
    ...smallLines(manifest, texts),
    ...discLines(manifest, texts),
    '',
    readme.columnsTitle,
    ...definitions(
      LOG_COLUMNS.map(name => [
        name,
        name === 'signs' ? `${logColumns.signs} ${SIGNS.join(', ')}` : logColumns[name],
      ]),
    ),
  ].join('\n')}\n`;
}

/** What a small kit has lost. */
function smallLines(
  { coding: { lostAboveHertz } }: Manifest,
  { words: { readme } }: Texts,
): string[] {
  if (lostAboveHertz === null) return [];
  const kilohertz = Math.round(lostAboveHertz / 1000);
  return ['', ...wrap(fillIn(readme.small, { kilohertz }))];
}

/** What is on which track, and that a player does not stop by itself. */
function discLines({ discs }: Manifest, { words: { readme } }: Texts): string[] {
  if (discs.length === 0) return [];
  return [
    '',
    readme.discTitle,
    ...discs.flatMap(({ file, tracks }) => {
      const [from, to] = [tracks[1]!.step!, tracks.at(-1)!.step!];
      const name = /([^/]+)\.wav$/.exec(file)![1]!;
      const last = tracks.length;
      const words = from === to ? readme.discTrack : readme.discTracks;
      return hanging('  ', fillIn(words, { file: name, last, from, to }));
    }),
    ...wrap(readme.discStop),
  ];
}

/** What every document says at its edge: draft or approval, and whether the translation was checked. */
function statusLines(approval: string | null, { words: { common }, unreviewed }: Texts): string[] {
  return [
    approval === null ? common.draft : fillIn(common.approved, { reference: oneLine(approval) }),
    ...(unreviewed.length > 0 ? [common.unreviewed] : []),
  ];
}

function contactLine({ name, phone, email }: KitContent['contact'], questions: string): string {
  const ways = [phone, email].filter(way => way !== undefined).map(oneLine);
  return `${name === undefined ? questions : oneLine(name)}: ${ways.join(', ')}`;
}

/** Names in one column, what they mean in another. */
function definitions(entries: readonly (readonly [name: string, meaning: string])[]): string[] {
  const width = Math.max(...entries.map(([name]) => name.length));
  return entries.flatMap(([name, meaning]) => hanging(`  ${name.padEnd(width)}  `, meaning));
}

/** Lines of which all but the first are indented as far as the first one's words. */
function hanging(start: string, text: string): string[] {
  const [first = '', ...rest] = wrap(text, WIDTH - start.length);
  return [start + first, ...rest.map(line => ' '.repeat(start.length) + line)];
}

/** A name that cannot break out of its line. */
const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();

const wrap = (text: string, width = WIDTH): readonly string[] => wrapWords(text, width);
