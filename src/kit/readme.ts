/**
 * `README.txt` of a kit: what lies in the folder, for whoever opens it first.
 *
 * @module
 */
import type { Contact } from '../protocol/study-file.js';
import { LOG_COLUMNS } from './log-file.js';
import type { Manifest } from './manifest.js';

/** Plain text, lines of at most 80 characters where names allow. */
export function kitReadme(manifest: Manifest, contact: Contact, wav: boolean): string {
  const width = Math.max(...LOG_COLUMNS.map(({ name }) => name.length));
  const columns = LOG_COLUMNS.flatMap(({ name, meaning }) => {
    const [first, ...rest] = wrap(meaning, 76 - width);
    const indent = ' '.repeat(width + 4);
    return [`  ${name.padEnd(width)}  ${first ?? ''}`, ...rest.map(line => indent + line)];
  });
  return `${[
    'Getting used to the scanner sounds',
    `Kit ${manifest.kit}, ${oneLine(manifest.study)}`,
    '',
    'Open start-here.html. It leads you through everything.',
    'No internet is needed. Keep all files of this folder together.',
    '',
    'Before the first sound, please:',
    '- use a speaker, no headphones and no earbuds;',
    '- set the volume once with the "shhh", as loud as your own talk, and leave it;',
    '- ask us first if your child has ear trouble, seizures, or pain from sounds.',
    '',
    'Your child may stop at any time. Stopping is fine. You do not have to do this.',
    'The sounds become familiar; nobody can promise that a scan works out.',
    'These sounds do not replace the ear protection in the scanner.',
    '',
    'Please do not upload the files to a music or streaming app, and do not send',
    'them one by one in a chat: that changes how loud they are.',
    '',
    ...contactLines(contact),
    '',
    'In this folder',
    '  start-here.html      the page to open',
    '  guide.pdf            the same on paper',
    '  picture-card.pdf     a practice in pictures, for children who do not read',
    '  voice-reference.mp3  the "shhh" for the volume',
    `  steps                one file per step, from soft to talking level${wav ? ', also as WAV' : ''}`,
    '  playlist.m3u8        the same as a list for a music player',
    '  log.csv              what you noted, for a spreadsheet; one row each time',
    '  kit.json             all numbers of this kit, for the study',
    '  SHA256SUMS           to check that no file was changed, for the study',
    '',
    'Columns of log.csv',
    ...columns,
  ].join('\n')}\n`;
}

function contactLines({ name, phone, email }: Contact): readonly string[] {
  const ways = [phone, email].filter(way => way !== undefined).map(oneLine);
  const who = name === undefined ? 'Questions' : oneLine(name);
  return [`${who}: ${ways.join(', ')}`];
}

/** A name that cannot break out of its line. */
const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();

/** Words in lines of at most `width` characters. */
function wrap(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= width) {
      lines[lines.length - 1] = `${last} ${word}`;
    } else {
      lines.push(word);
    }
  }
  return lines;
}
