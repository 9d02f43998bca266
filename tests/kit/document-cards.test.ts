import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { renderLabels } from '../../src/kit/paper/labels.js';
import { kitMark, SYMBOLS } from '../../src/kit/words/kit-symbol.js';
import { renderPictureCard } from '../../src/kit/paper/picture-card.js';
import { renderStaffCard } from '../../src/kit/paper/staff-card.js';
import { kitCode } from '../../src/kit/kit-code.js';
import { LANGUAGES } from '../../src/protocol/study-file.js';
import { expectWholeLines, letters, readPdf } from '../helpers/read-pdf.js';
import { sampleContent, sampleFonts, sampleTexts } from '../helpers/sample-kit.js';

const texts = sampleTexts('en');

const codeOf = (family: number): string =>
  kitCode('seed', `family-${family}`, text => createHash('sha256').update(text).digest('hex'));

describe('the card for staff', async () => {
  const card = await readPdf(await renderStaffCard(sampleContent(), texts, sampleFonts));

  test('is one page with every scan in order, under both of its names', () => {
    expect(card.pages).toHaveLength(1);
    const read = card.text;
    let from = 0;
    for (const { name, plainName } of sampleContent().protocol) {
      const at = read.indexOf(plainName, from);
      expect(at, plainName).toBeGreaterThanOrEqual(from);
      expect(read.slice(at), name).toContain(name);
      from = at;
    }
    expect(read).toContain(texts.words.common.draft);
    expectWholeLines(card);
  });

  test('stays one page with thirty scans', async () => {
    const protocol = Array.from({ length: 30 }, (_, index) => ({
      name: `scan-${index}`,
      plainName: `Sound number ${index}`,
      durationSeconds: 100,
    }));
    const bytes = await renderStaffCard(sampleContent({ protocol }), texts, sampleFonts);
    const long = await readPdf(bytes);
    expect(long.pages).toHaveLength(1);
    expectWholeLines(long);
  });
});

test('the card of pictures has six figures, each described, and no words but the page’s edges', async () => {
  const bytes = await renderPictureCard(sampleContent(), texts, sampleFonts);
  const card = await readPdf(bytes);
  expect(card.pages).toHaveLength(1);
  expect(card.figures).toEqual([
    texts.words.cards.pictureSit,
    texts.words.cards.pictureListen,
    texts.words.cards.pictureStop,
    texts.words.cards.pictureMoon,
    texts.words.cards.pictureEnd,
    texts.words.cards.pictureSticker,
  ]);
  expect(card.text.length).toBeLessThan(200);
});

test('labels show every code once, 24 to a page', async () => {
  const codes = Array.from({ length: 50 }, (_, index) => codeOf(index));
  const sheet = await readPdf(
    await renderLabels({ study: 'Night Sky Study', codes, approval: null }, texts, sampleFonts),
  );
  expect(sheet.pages).toHaveLength(3);
  for (const code of codes) expect(sheet.text.split(`Kit ${code}`)).toHaveLength(2);
  expect(() => renderLabels({ study: 'x', codes: [], approval: null }, texts, sampleFonts)).toThrow(
    RangeError,
  );
});

test('labels say by whose leave', async () => {
  const sheet = { study: 'Night Sky Study', codes: [codeOf(1)], approval: 'REF 12/34' };
  expect((await readPdf(await renderLabels(sheet, texts, sampleFonts))).text).toContain(
    'REF 12/34',
  );
});

describe.each(LANGUAGES)('in %s', language => {
  const words = sampleTexts(language);

  test('cards and labels are whole, marked as drafts, with every font embedded', async () => {
    const content = sampleContent({ language });
    const codes = [codeOf(1), codeOf(2)];
    const sheets = await Promise.all([
      renderStaffCard(content, words, sampleFonts),
      renderPictureCard(content, words, sampleFonts),
      renderLabels({ study: 'Night Sky Study', codes, approval: null }, words, sampleFonts),
    ]);
    for (const bytes of sheets) {
      const sheet = await readPdf(bytes);
      expect(sheet.pages).toHaveLength(1);
      expect(sheet.language).toBe(language);
      expect(sheet.text).not.toContain('…');
      expect(letters(sheet.text)).toContain(letters(words.words.common.draft));
      for (const { embedded } of sheet.fonts) expect(embedded).toBe(true);
      expectWholeLines(sheet);
    }
  });

  test('hostile names stay text, on their card and label', async () => {
    const names = [
      '<script>alert(1)</script>',
      `Quote " and ' and (brackets) \\ /Slash`,
      'New\nline\r\nand\ttab',
      'Right \u202eto left\u202c mark',
      'Emoji 🌙🚀 in it',
      'x'.repeat(500),
    ];
    const protocol = names.map((plainName, i) => ({
      name: `s${i}`,
      plainName,
      durationSeconds: 60,
    }));
    const content = sampleContent({ language, protocol });
    const card = await readPdf(await renderStaffCard(content, words, sampleFonts));
    expect(card.pages).toHaveLength(1);
    expect(letters(card.text)).toContain(letters('<script>alert1</script>'));
    expectWholeLines(card);
    const sheet = { study: names.join(' '), codes: [codeOf(1)], approval: names.join(' ') };
    const labels = await readPdf(await renderLabels(sheet, words, sampleFonts));
    expect(labels.pages).toHaveLength(1);
    expect(labels.text).not.toMatch(/[\u202a-\u202e]/);
    expectWholeLines(labels);
  });
});

describe('the mark of a kit', () => {
  test('follows from the code, and all symbols and most pairs with colours occur', () => {
    const marks = Array.from({ length: 500 }, (_, index) => kitMark(codeOf(index)));
    expect(new Set(marks.map(({ symbol }) => symbol)).size).toBe(Object.keys(SYMBOLS).length);
    expect(new Set(marks.map(({ symbol, colour }) => symbol + colour)).size).toBeGreaterThan(50);
    expect(kitMark('Y3F9-H5PT')).toEqual(kitMark('Y3F9-H5PT'));
  });
});
