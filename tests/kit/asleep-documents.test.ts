/**
 * What families of children who are scanned asleep get: guide, page, pictures and README of such a kit,
 * read back.
 */
import { describe, expect, test } from 'vitest';
import { renderPictureCard } from '../../src/kit/paper/picture-card.js';
import { renderStaffCard } from '../../src/kit/paper/staff-card.js';
import { renderGuide } from '../../src/kit/paper/guide.js';
import { escapeHtml } from '../../src/formats/html.js';
import { renderPage } from '../../src/kit/screens/page.js';
import { kitReadme } from '../../src/kit/paper/readme.js';
import { kindOf, textsFor } from '../../src/kit/words/texts-for.js';
import type { Words } from '../../src/kit/words/texts-shape.js';
import { LANGUAGES } from '../../src/protocol/study-file.js';
import { asleepManifest } from '../helpers/asleep-kit.js';
import { expectWholeLines, letters, readPdf } from '../helpers/read-pdf.js';
import { sampleContent, sampleFonts, samplePageParts, sampleTexts } from '../helpers/sample-kit.js';

const parts = samplePageParts();
const manifest = asleepManifest();

/** Sections whose strings all stand in the guide, on the page, in README.txt. */
const READ = {
  guide: ['about', 'cautions', 'ready', 'volume', 'practice', 'stopping'],
  page: ['about', 'cautions', 'ready', 'volume', 'practice', 'stopping', 'page', 'signs', 'log'],
  readme: ['readme', 'logColumns'],
} satisfies Record<string, readonly (keyof Words)[]>;

/** Strings of those that depend on the kit or the moment: forms of a kit that this one is not. */
const ELSEWHERE = ['readme.stepsWav', 'readme.discStop', 'log.declined'];

/** Words to and about a child who is awake that the page of such a kit leaves out. */
const toTheChild = ({ page, signs }: Words): readonly string[] => [
  page.askWords,
  page.askTell,
  page.askStop,
  page.askLying,
  page.askChildMark,
  page.markFine,
  page.markHard,
  page.scaleHigh,
  page.playAgain,
  signs.ears,
  signs.left,
];

describe.each(LANGUAGES)('for a child who is scanned asleep, in %s', async language => {
  const all = sampleTexts(language);
  const texts = textsFor(all, kindOf(manifest));
  const content = sampleContent({ language, manifest });
  const guide = await readPdf(await renderGuide(content, texts, sampleFonts));
  const page = renderPage(content, texts, parts);
  const readme = kitReadme(content, texts, false);

  /** Strings of some sections that a string of the asleep section replaces, and those. */
  function replaced(sections: readonly string[]): { before: string[]; after: string[] } {
    const paths = Object.entries(all.words.asleep).filter(
      ([path]) => sections.includes(path.split('.')[0]!) && !ELSEWHERE.includes(path),
    );
    const after = paths.flatMap(([, value]) => value);
    const before = paths.flatMap(([path]) => {
      const [section, key] = path.split('.') as [keyof Words, string];
      return (all.words[section] as Record<string, string | readonly string[]>)[key]!;
    });
    // What both say is said to both; and a shorter string may be part of a longer one.
    return { before: before.filter(text => !after.some(other => other.includes(text))), after };
  }

  /** Texts as they stand in a place that changes spaces or splits them where something is filled in. */
  function expectWords(
    place: string,
    sections: readonly string[],
    plain: (text: string) => string,
  ): void {
    const { before, after } = replaced(sections);
    expect(after.length).toBeGreaterThan(5);
    for (const text of after) {
      for (const piece of text.split(/\{\w+\}/)) expect(place, text).toContain(plain(piece));
    }
    for (const text of before) {
      expect(place.includes(plain(text)), text).toBe(false);
    }
  }

  test('the guide says what holds for sleep, and nothing that holds for practice', () => {
    expectWords(letters(guide.text), READ.guide, letters);
    const { guide: paper } = texts.words;
    const read = letters(guide.text);
    for (const text of [paper.calendarTitle, paper.logLead, paper.logKey, paper.logParent]) {
      expect(read).toContain(letters(text));
    }
    for (const { calendarTitle, logLead, logChild, logKey, stickersTitle } of [all.words.guide]) {
      for (const text of [calendarTitle, logLead, logChild, logKey, stickersTitle]) {
        expect(read).not.toContain(letters(text));
      }
    }
  });

  test('the guide keeps whom to ask first, and when to call for help', () => {
    const read = letters(guide.text);
    const { cautions, stopping } = all.words;
    for (const text of [cautions.intro, ...cautions.items, stopping.emergency]) {
      expect(read).toContain(letters(text));
    }
    expect(guide.pages).toHaveLength(4);
    expect(guide.text).not.toContain('…');
    expectWholeLines(guide);
  });

  test('the page says what holds for sleep, and asks the child nothing', () => {
    // Words that the script puts in stand in the page as JSON.
    const plain = (text: string): string => text.replace(/[\s"'&<>\u00a0]/g, '');
    const markup = plain(
      page
        .replace(/<script>[^]*?<\/script>|<style>[^]*?<\/style>/g, '')
        .replace(/&(?:quot|#39|amp|lt|gt);/g, ''),
    );
    expectWords(markup, READ.page, plain);
    const { asleep } = all.words;
    for (const text of [
      asleep.volumeAwake,
      ...asleep.checks,
      asleep.markAsleep,
      asleep.markStirred,
      asleep.markWoke,
      asleep.playedTonight,
    ]) {
      expect(markup, text).toContain(plain(text));
    }
    for (const text of toTheChild(all.words))
      expect(markup, text).not.toContain(`>${plain(text)}<`);
    for (const text of all.words.cautions.items) expect(page).toContain(escapeHtml(text));
  });

  test('README.txt says how far, when and how often', () => {
    const plain = (text: string): string => text.replace(/\s+/g, '');
    expectWords(plain(readme), READ.readme, plain);
  });

  test('the pictures are those of a night', async () => {
    const card = await readPdf(await renderPictureCard(content, texts, sampleFonts));
    const { asleep } = texts.words;
    expect(card.figures).toEqual([
      asleep.pictureVolume,
      asleep.pictureBack,
      asleep.pictureWait,
      asleep.pictureFar,
      asleep.pictureWake,
      asleep.pictureEnd,
    ]);
  });

  test('staff count with nobody', async () => {
    const card = letters((await readPdf(await renderStaffCard(content, texts, sampleFonts))).text);
    const { before, after } = replaced(['cards']);
    for (const text of after) expect(card).toContain(letters(text));
    for (const text of before) expect(card).not.toContain(letters(text));
  });
});
