/**
 * What the page's script is told: the plan and the words that change while the page is used. All
 * other words stand in the markup.
 *
 * @module
 */
import { LOG_COLUMNS } from '../../practice/log-columns.js';
import type { KitContent } from '../content.js';
import {
  ASLEEP_MARKS,
  childMark,
  type ChildMark,
  seenSigns,
  WORRIES,
} from '../words/rating-scale.js';
import { type DrawnSound, drawnSound, soundInWords } from '../words/drawn-sound.js';
import { stepsInWords, wordFor } from '../words/step-words.js';
import type { Manifest } from '../manifest/manifest.js';
import { stepCount } from '../tags.js';
import { isAsleep } from '../words/texts-for.js';
import { dayInWords } from '../words/texts-words.js';
import { fillIn, type Texts } from '../words/texts.js';

export interface PageStep {
  readonly number: number;
  /** Relative URL of the audio file. */
  readonly url: string;
  /** Its path in the kit, for messages. */
  readonly file: string;
  readonly title: string;
  readonly change: string;
  readonly explained: string;
  readonly length: string;
  readonly loudness: string;
  readonly durationSeconds: number;
  readonly sounds: readonly {
    /** Name of the scan: key of its picture. */
    readonly scan: string;
    readonly name: string;
    readonly length: string;
    readonly startSeconds: number;
    readonly endSeconds: number;
  }[];
  /** What is heard between sounds in a whole visit. */
  readonly between: readonly {
    readonly name: string;
    readonly startSeconds: number;
    readonly endSeconds: number;
  }[];
  /** Whether the child lies still while it plays. */
  readonly lying: boolean;
}

export interface PageData {
  /** Kit code: what the page remembers is kept under it. */
  readonly kit: string;
  readonly reference: { readonly url: string; readonly file: string };
  readonly steps: readonly PageStep[];
  /** In the order of the days. `date` is `YYYY-MM-DD` or null. */
  readonly sessions: readonly {
    readonly day: number;
    readonly date: string | null;
    readonly dateInWords: string;
    readonly step: number;
  }[];
  readonly scanDate: string | null;
  /** Day on which the study made this plan from the family's log, `YYYY-MM-DD`; null for the first plan. */
  readonly decidedOn: string | null;
  /** The step that was due then. */
  readonly nextStep: number | null;
  readonly childMark: ChildMark;
  /** What each sound looks like, and that in words, by the name of its scan. */
  readonly pictures: Readonly<Record<string, DrawnSound & { readonly words: string }>>;
  /** Columns of `log.csv`, in order. */
  readonly logColumns: readonly string[];
  /** Whether the child is asleep while it plays: nobody is asked or counts down, and once a night is enough. */
  readonly asleep: boolean;
  /** What a parent's mark says in words; empty where it is a number. */
  readonly parentMarks: Readonly<Record<string, string>>;
  /** What a parent may have seen, by its name in the log. */
  readonly signs: Readonly<Record<string, string>>;
  readonly words: Readonly<Record<PageWord | OtherWord, string>>;
}

/** Words that the script puts in, keys of the texts' `page` section. */
const PAGE_WORDS = [
  'lead',
  'quiet',
  'theEnd',
  'timeLeft',
  'notYet',
  'restDay',
  'scanDayPassed',
  'practiceStopped',
  'nothingNoted',
  'lockedStep',
  'lockedLater',
  'missingText',
  'playReference',
  'stopReference',
  'volumeCheckTitle',
] as const;

export type PageWord = (typeof PAGE_WORDS)[number];

/** Words of other sections. */
type OtherWord = 'volumeTitle' | 'logYes' | 'logDeclined' | 'playedTonight';

/** The page's data for one kit. */
export function pageData(content: KitContent, texts: Texts): PageData {
  const { manifest } = content;
  const inWords = stepsInWords(content, texts);
  return {
    kit: manifest.kit,
    reference: {
      url: relativeUrl(manifest.voiceReference.file),
      file: manifest.voiceReference.file,
    },
    steps: manifest.steps.map((step, index) => {
      const { change, explained, length, loudness, sounds } = inWords[index]!;
      return {
        number: step.number,
        url: relativeUrl(step.file),
        file: step.file,
        title: fillIn(texts.words.common.stepOf, {
          number: step.number,
          count: stepCount(manifest.steps),
        }),
        change,
        explained,
        length,
        loudness,
        durationSeconds: step.durationSeconds,
        sounds: step.sounds.map((sound, place) => ({
          ...sounds[place]!,
          scan: sound.scan,
          startSeconds: sound.startSeconds,
          endSeconds: sound.endSeconds,
        })),
        between: step.interludes.map(({ kind, startSeconds, endSeconds }) => ({
          name: wordFor(kind, texts.words.interludes),
          startSeconds: startSeconds,
          endSeconds: endSeconds,
        })),
        lying: step.posture === 'lying-still',
      };
    }),
    sessions: manifest.sessions.map(session => ({
      ...session,
      dateInWords: session.date === null ? '' : dayInWords(texts.language, session.date, 'long'),
    })),
    scanDate: content.scanDate,
    decidedOn: manifest.history.at(-1)?.asOf ?? null,
    nextStep: manifest.history.at(-1)?.nextStep ?? null,
    childMark: childMark(manifest),
    pictures: picturesOf(manifest, texts),
    logColumns: LOG_COLUMNS,
    signs: Object.fromEntries(
      [...seenSigns(manifest), ...WORRIES].map(sign => [sign, texts.words.signs[sign]]),
    ),
    asleep: isAsleep(manifest),
    parentMarks: isAsleep(manifest)
      ? Object.fromEntries(ASLEEP_MARKS.map(({ mark, word }) => [mark, texts.words.asleep[word]]))
      : {},
    words: {
      ...(Object.fromEntries(PAGE_WORDS.map(key => [key, texts.words.page[key]])) as Record<
        PageWord,
        string
      >),
      volumeTitle: texts.words.volume.title,
      logYes: texts.words.log.toTheEnd,
      logDeclined: texts.words.log.declined,
      playedTonight: isAsleep(manifest) ? texts.words.asleep.playedTonight : '',
    },
  };
}

/** Pictures of the sounds that the steps hold. */
function picturesOf({ pictures, steps }: Manifest, texts: Texts): PageData['pictures'] {
  const heard = new Set(steps.flatMap(({ sounds }) => sounds.map(({ scan }) => scan)));
  return Object.fromEntries(
    pictures
      .filter(({ scan }) => heard.has(scan))
      .map(picture => [
        picture.scan,
        { ...drawnSound(picture), words: soundInWords(picture, texts) },
      ]),
  );
}

/** A path in the kit as a relative URL. */
export const relativeUrl = (file: string): string =>
  file.split('/').map(encodeURIComponent).join('/');
