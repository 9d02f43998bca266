/**
 * `loudness.txt` for staff: how loud a kit is at home, at the set volume and at others, on each class
 * of device. Every number in it stands in the manifest.
 *
 * @module
 */
import { wrapWords } from '../../formats/wrap-words.js';
import type { Manifest } from '../manifest/manifest.js';
import { raisedNote } from '../plan-kit.js';

/** Longest line. */
const WIDTH = 100;

export function loudnessSheet({ kit, ceiling, playback, voiceReference }: Manifest): string {
  const { low, expected, high } = voiceReference.assumedDba;
  return `${[
    `How loud kit ${kit} is`,
    '',
    ...wrapped(
      `All levels are A-weighted estimates at the listener's place. The voice reference is taken to be ${expected} dBA there (${low} to ${high}), once its volume is set. The ceiling is ${ceiling.laeqDba} dBA.`,
    ),
    ...(ceiling.raisedBy === null ? [] : ['', ...wrapped(raisedNote(ceiling))]),
    ...playback.words.flatMap(sentence => ['', ...wrapped(sentence)]),
    '',
    ...wrapped(
      'Levels at full volume are those of a device that does not limit or distort: on the safe side. Headphones are no part of a kit; they stand here for what happens if somebody uses them.',
    ),
  ].join('\n')}\n`;
}

const wrapped = (text: string): readonly string[] => wrapWords(text, WIDTH);
