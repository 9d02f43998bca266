/**
 * What some families read in place of other words. Of children who are scanned asleep nobody is asked,
 * shown or told anything, and what is safe is not the same. Where a device was measured and marked, the
 * volume is not set by ear.
 *
 * In the files of texts they stand in sections of their own, `asleep` and `marked`: a key with a dot takes
 * the place of the string that it names, the others are for such kits alone.
 *
 * @module
 */
import type { Manifest } from '../manifest/manifest.js';
import { list, text } from './text-leaf.js';
import type { Words } from './texts-shape.js';
import type { Texts } from './texts.js';

/** Strings that are replaced, as `section.key`. */
export const ASLEEP_PATHS = [
  'about.lines',
  'about.benefit',
  'cautions.never',
  'cautions.safety',
  'ready.items',
  'volume.steps',
  'volume.keep',
  'practice.title',
  'practice.steps',
  'practice.missed',
  'stopping.now',
  'stopping.after',
  'stopping.callTitle',
  'stopping.call',
  'change.start',
  'change.posture',
  'changeExplained.start',
  'changeExplained.announced',
  'changeExplained.posture',
  'changePractice.announced',
  'changePractice.posture',
  'changePractice.visit',
  'page.home',
  'page.noScript',
  'page.welcomeLines',
  'page.volumeCheck',
  'page.otherSpeaker',
  'page.today',
  'page.restDay',
  'page.notYet',
  'page.scanDayPassed',
  'page.practiceStopped',
  'page.nothingNoted',
  'page.askChild',
  'page.askTitle',
  'page.askWait',
  'page.startNow',
  'page.notToday',
  'page.notTodayText',
  'page.getReady',
  'page.pausedText',
  'page.howTitle',
  'page.stoppedTitle',
  'page.stoppedText',
  'page.parentMark',
  'page.doneTitle',
  'page.doneText',
  'page.doneBack',
  'page.worryPageTitle',
  'signs.froze',
  'signs.pain',
  'signs.ringing',
  'signs.panic',
  'log.empty',
  'log.declined',
  'guide.calendarTitle',
  'guide.calendarLead',
  'guide.dayColumn',
  'guide.dayNumber',
  'guide.again',
  'guide.estimate',
  'guide.logLead',
  'guide.logParent',
  'guide.logKey',
  'cards.staffLead',
  'cards.staffHard',
  'cards.staffWords',
  'readme.before',
  'readme.choice',
  'readme.pictureCard',
  'readme.steps',
  'readme.stepsWav',
  'readme.playlist',
  'readme.discStop',
  'logColumns.child_rating',
  'logColumns.parent_rating',
  'logColumns.stopped_by',
] as const;

/** Strings that are replaced where the family's device was measured. */
export const MARKED_PATHS = [
  'volume.steps',
  'volume.keep',
  'practice.steps',
  'page.volumeCheck',
  'page.volumeSet',
  'readme.before',
] as const;

/** Strings that no other kit has. */
export const ASLEEP_ONLY = {
  volumeAwake: text,
  checks: list,
  markAsleep: text,
  markStirred: text,
  markWoke: text,
  playedTonight: text,
  pictureVolume: text,
  pictureBack: text,
  pictureWait: text,
  pictureFar: text,
  pictureWake: text,
  pictureEnd: text,
} as const;

/** A string of some sections by its path, `section.key`. */
export type PathIn<Shape> = {
  [Section in keyof Shape & string]: `${Section}.${keyof Shape[Section] & string}`;
}[keyof Shape & string];

type At<Shape, Path> = Path extends `${infer Section extends keyof Shape & string}.${infer Key}`
  ? Shape[Section][Key & keyof Shape[Section]]
  : never;

/** The shapes of strings by their paths: what takes the place of a string is shaped as it is. */
export function leavesAt<
  Shape extends Readonly<Record<string, object>>,
  const Path extends PathIn<Shape>,
>(shape: Shape, paths: readonly Path[]): { readonly [P in Path]: At<Shape, P> } {
  return Object.fromEntries(paths.map(path => [path, valueAt(shape, path)] as const)) as {
    readonly [P in Path]: At<Shape, P>;
  };
}

/** Whether the child of a kit is scanned asleep, and so hears its sounds asleep. */
export const isAsleep = ({ preset }: Pick<Manifest, 'preset'>): boolean => preset === 'asleep';

/** What of a kit decides on its words. */
export interface KitKind extends Pick<Manifest, 'preset'> {
  /** Whether the family's device was measured and marked. */
  readonly isMarked: boolean;
}

/** The kind of a kit that is made. */
export const kindOf = ({ preset, voiceReference }: Manifest): KitKind => ({
  preset,
  isMarked: voiceReference.measured !== null,
});

/**
 * The texts as the families of one kind of kit read them; as they are for children who are awake and
 * whose parents set the volume by ear.
 *
 * Hash, approval and review are those of the whole texts, whatever the kind.
 */
export function textsFor(texts: Texts, kind: KitKind): Texts {
  if (isAsleep(kind)) return replaced(texts, texts.words.asleep, ASLEEP_PATHS);
  if (kind.isMarked) return replaced(texts, texts.words.marked, MARKED_PATHS);
  return texts;
}

function replaced(
  texts: Texts,
  others: Readonly<Record<string, unknown>>,
  paths: readonly string[],
): Texts {
  const words: Record<string, Record<string, unknown>> = { ...texts.words };
  for (const path of paths) {
    const [section, key] = partsOf(path);
    words[section] = { ...words[section], [key]: others[path] };
  }
  // Each string was checked to have the shape of the one whose place it takes.
  return { ...texts, words: words as unknown as Words };
}

function valueAt(sections: Readonly<Record<string, object>>, path: string): unknown {
  const [section, key] = partsOf(path);
  return (sections[section] as Readonly<Record<string, unknown>>)[key];
}

const partsOf = (path: string): [section: string, key: string] =>
  path.split('.') as [string, string];
