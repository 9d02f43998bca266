import { describe, expect, test } from 'vitest';
import { renderGuide } from '../../../src/kit/paper/guide.js';
import { dayInWords, lengthInWords } from '../../../src/kit/words/texts-words.js';
import { fillIn } from '../../../src/kit/words/texts.js';
import type { Language } from '../../../src/protocol/study-file.js';
import { expectWholeLines, letters, readPdf } from '../../helpers/read-pdf.js';
import {
  sampleContent,
  sampleFonts,
  sampleManifest,
  sampleTexts,
} from '../../helpers/sample-kit.js';

/** Languages that kits are written in, and the names of the typefaces of each. */
const TYPEFACES = {
  en: /Atkinson/,
  es: /Atkinson/,
  fr: /Atkinson/,
  ar: /Atkinson|IBMPlexSansArabic/,
} satisfies Record<Language, RegExp>;

const EACH = Object.keys(TYPEFACES) as Language[];

/** What is left where a line was too long. */
const CUT = '…';

const guides = new Map<Language, Uint8Array>();
for (const language of EACH) {
  const bytes = await renderGuide(sampleContent({ language }), sampleTexts(language), sampleFonts);
  guides.set(language, bytes);
}

describe.each(EACH)('the guide in %s, read back by pdf.js', async language => {
  const texts = sampleTexts(language);
  const bytes = guides.get(language)!;
  const guide = await readPdf(bytes);

  test('has at most four A4 pages and embeds every font', () => {
    expect(guide.pages).toHaveLength(4);
    for (const { width, height } of guide.pages) {
      expect(width).toBeCloseTo(595.28, 1);
      expect(height).toBeCloseTo(841.89, 1);
    }
    expect(guide.fonts.length).toBeGreaterThanOrEqual(4);
    for (const font of guide.fonts) {
      expect(font.embedded).toBe(true);
      expect(font.name).toMatch(TYPEFACES[language]);
    }
  });

  test('carries title, language and one fixed date, and nothing of who made it or where', () => {
    expect(guide.info).toMatchObject({
      Title: texts.words.common.title,
      Producer: 'softknock',
      Creator: 'softknock',
      CreationDate: 'D:20000101000000Z',
      ModDate: 'D:20000101000000Z',
    });
    expect(guide.info).not.toHaveProperty('Author');
    expect(guide.language).toBe(language);
    expect(Buffer.from(bytes).toString('latin1')).not.toMatch(
      /\/Author|\/home|\/work|\/tmp|node_modules/,
    );
  });

  test('is tagged: headings, lists with labels, tables with heads', () => {
    for (const role of ['H1', 'H2', 'L', 'LI', 'Lbl', 'LBody', 'Table', 'TR', 'TH', 'TD']) {
      expect(guide.roles).toContain(role);
    }
    expect(guide.roles.filter(role => role === 'H1')).toHaveLength(1);
  });

  test('says everything, in the order of reading', () => {
    const { about, cautions, guide: paper, practice, ready, stopping, volume } = texts.words;
    const wanted = [
      texts.words.common.draft,
      ...(texts.review === 'unreviewed' ? [texts.words.common.unreviewed] : []),
      texts.words.common.title,
      about.title,
      ...about.lines,
      about.benefit,
      cautions.intro,
      ...cautions.items,
      cautions.neverTitle,
      ...cautions.never,
      cautions.safetyTitle,
      ...cautions.safety,
      '+00 000 0000',
      ...ready.items,
      ...volume.steps,
      volume.keep,
      ...practice.steps,
      practice.missed,
      ...stopping.now,
      ...stopping.call,
      stopping.after,
      stopping.emergency,
      'Your child can bring a soft toy without metal to the scan',
      paper.calendarTitle,
      paper.scanDayTitle,
      'First star',
      lengthInWords(language, 15, 'short'),
      paper.logTitle,
      paper.stickersTitle,
    ];
    let from = 0;
    const read = letters(guide.text);
    for (const text of wanted) {
      const at = read.indexOf(letters(text), from);
      expect(at, `“${text}” after position ${from}`).toBeGreaterThanOrEqual(from);
      from = at;
    }
  });

  test('shows the manifest’s numbers: every session, and the level as low, expected and high', () => {
    const days = letters(guide.pages[2]!.text);
    for (const { date } of sampleContent().manifest.sessions) {
      expect(days).toContain(letters(dayInWords(language, date!, 'short')));
    }
    for (const number of ['60', '52', '68']) expect(guide.pages[1]!.text).toContain(number);
  });

  test('cuts no line, none leaves the printable part of a page, and none lies on another', () => {
    expect(guide.text).not.toContain(CUT);
    expectWholeLines(guide);
  });

  test('says draft and kit code on every page until approval, then the approval', async () => {
    for (const page of guide.pages) {
      expect(letters(page.text)).toContain(letters(texts.words.common.draft));
      expect(page.text).toContain('K7F3-M');
    }
    const content = sampleContent({ manifest: sampleManifest({ approval: 'Board 2027/18' }) });
    const approved = await readPdf(await renderGuide(content, texts, sampleFonts));
    for (const page of approved.pages) {
      expect(letters(page.text)).not.toContain(letters(texts.words.common.draft));
      expect(page.text).toContain('Board 2027/18');
    }
  });

  test('with a plan of four weeks still fits four pages, on A4 and on Letter', async () => {
    const sessions = Array.from({ length: 28 }, (_, index) => ({
      day: index + 1,
      date: `2027-06-${String(index + 1).padStart(2, '0')}`,
      step: Math.min(12, 1 + Math.floor(index / 2)),
    }));
    for (const [paper, width] of [
      ['A4', 595.28],
      ['Letter', 612],
    ] as const) {
      const content = sampleContent({ paper, manifest: sampleManifest({ sessions }) });
      const long = await readPdf(await renderGuide(content, texts, sampleFonts));
      expect(long.pages).toHaveLength(4);
      expect(long.pages[0]!.width).toBeCloseTo(width, 1);
      expect(long.text).not.toContain(CUT);
      expectWholeLines(long);
    }
  });

  test('tells from which step a child lies still and hears the whole visit, once each', async () => {
    const manifest = sampleManifest();
    const changes = ['start', 'posture', 'announced', 'visit', 'visit', 'softness'];
    const steps = manifest.steps.map((step, index) => ({
      ...step,
      change: changes[index] ?? 'level',
    }));
    const content = sampleContent({ manifest: { ...manifest, steps } });
    const read = letters((await readPdf(await renderGuide(content, texts, sampleFonts))).text);
    const { changePractice, change } = texts.words;
    for (const [text, number] of [
      [changePractice.posture, 2],
      [changePractice.announced, 3],
      [changePractice.visit, 4],
    ] as const) {
      expect(read.split(letters(fillIn(text, { number })))).toHaveLength(2);
    }
    for (const text of [change.posture, change.announced, change.visit, change.softness]) {
      expect(read).toContain(letters(text));
    }
  });
});

const texts = sampleTexts('en');

test('of a kit that has stopped, says so first and has no days to tick', async () => {
  const content = sampleContent({ manifest: sampleManifest({ sessions: [] }) });
  const texts = sampleTexts();
  const { pages, text } = await readPdf(await renderGuide(content, texts, sampleFonts));
  const words = text.replace(/\s+/g, ' ');
  expect(pages.length).toBeLessThanOrEqual(4);
  const [stop, start] = [texts.words.page.practiceStopped, texts.words.about.lines[0]!];
  expect(words).toContain(stop);
  expect(words.indexOf(stop)).toBeLessThan(words.indexOf(start));
  expect(words).toContain('Stop all practice now');
  expect(words).not.toContain('Tick the box after each practice');
});

test('a language from right to left starts every line at the right', async () => {
  const [arabic, english] = await Promise.all(
    (['ar', 'en'] as const).map(language => readPdf(guides.get(language)!)),
  );
  // Lists and prose of the second page: from the right margin, or from the left one.
  const { width } = arabic!.pages[1]!;
  const rights = arabic!.pages[1]!.items.map(({ x, width: w }) => width - x - w);
  const lefts = english!.pages[1]!.items.map(({ x }) => x);
  const MARGIN = 44;
  expect(rights.filter(right => Math.abs(right - MARGIN) < 2).length).toBeGreaterThan(5);
  expect(lefts.filter(left => Math.abs(left - MARGIN) < 2).length).toBeGreaterThan(5);
});

test('the same content gives the same bytes', async () => {
  const again = await renderGuide(sampleContent(), texts, sampleFonts);
  expect(Buffer.from(again).equals(guides.get('en')!)).toBe(true);
});

test('an approved higher ceiling is printed with name, day and reason', async () => {
  const raisedBy = { name: 'A. Physicist', reason: 'The child is used to it.', date: '2027-05-01' };
  const content = sampleContent({
    manifest: sampleManifest({ ceiling: { laeqDba: 67, raisedBy } }),
  });
  const { text } = await readPdf(await renderGuide(content, texts, sampleFonts));
  expect(text).toContain('A. Physicist');
  expect(text).toContain('1 May 2027');
  expect(text).toContain('67 dBA instead of 65');
  expect(text).toContain('The child is used to it.');
});

test('children of four to six get faces to circle, younger ones no mark of their own', async () => {
  const textFor = async (ageBand: string): Promise<string> => {
    const content = sampleContent({ manifest: sampleManifest({ ageBand }) });
    return (await readPdf(await renderGuide(content, texts, sampleFonts))).pages.at(-1)!.text;
  };
  expect(await textFor('7-9')).toContain('Child');
  expect(await textFor('4-6')).not.toContain('Child 0–10');
  expect(await textFor('2-3')).not.toContain('Child');
});

describe('hostile and strange names', () => {
  const LONG = 'Long '.repeat(100);
  const NAMES = [
    '<script>alert(1)</script>',
    'Quote " and \' and (brackets) \\ and /Slash',
    'New\nline\r\nand\ttab',
    'Right \u202eto left\u202c mark',
    'Emoji 🌙🚀 in it',
    'x'.repeat(500),
    LONG,
  ];

  test('are printed as they read, on one page as a rule, and break nothing', async () => {
    const content = sampleContent({
      manifest: sampleManifest({ study: NAMES.join(' ') }),
      contact: { name: NAMES[0]!, phone: NAMES[1]!, email: NAMES[4]! },
      guideNote: NAMES.join(' '),
      protocol: NAMES.map((plainName, index) => ({
        name: `s${index}`,
        plainName,
        durationSeconds: 60,
      })),
    });
    const strange = await readPdf(await renderGuide(content, texts, sampleFonts));
    const read = strange.text.replace(/\s+/g, ' ');
    expect(read).toContain('<script>alert(1)</script>');
    expect(read).toContain('Quote " and \' and (brackets) \\ and /Slash');
    expect(read).toContain('New line and tab');
    expect(read).toContain('Right to left mark');
    expect(read).toMatch(/Emoji {1,2}in it/);
    expect(strange.text).not.toMatch(/[\u202a-\u202e\u2066-\u2069]/);
    expectWholeLines(strange);
  });
});
