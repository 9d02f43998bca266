/** What a page weighs, carries and says of itself, read from its markup. */
import { describe, expect, test } from 'vitest';
import { escapeHtml } from '../../src/formats/html.js';
import { renderPage } from '../../src/kit/screens/page.js';
import { LANGUAGES } from '../../src/protocol/study-file.js';
import {
  sampleContent,
  sampleManifest,
  samplePageParts,
  sampleTexts,
} from '../helpers/sample-kit.js';

/** Most that a page may weigh without its audio, in bytes. */
const MOST_BYTES = 300_000;

const parts = samplePageParts();

/** A plan of four weeks whose every step is new, as long as plans get. */
function longManifest() {
  const manifest = sampleManifest();
  const last = manifest.steps.at(-1)!;
  const steps = Array.from({ length: 28 }, (_, index) => ({
    ...(manifest.steps[index] ?? last),
    number: index + 1,
  }));
  const sessions = steps.map(({ number }) => ({
    day: number,
    date: `2027-06-${String(number).padStart(2, '0')}`,
    step: number,
  }));
  return { ...manifest, steps, sessions };
}

describe.each(LANGUAGES)('the page in %s', language => {
  const texts = sampleTexts(language);
  const page = (manifest = sampleManifest()): string =>
    renderPage(sampleContent({ language, manifest }), texts, parts);

  test('weighs less than 300 kB, with a plan as long as plans get', () => {
    expect(Buffer.byteLength(page(longManifest()))).toBeLessThan(MOST_BYTES);
  });

  test('says draft and “not reviewed” until it is approved, then whose approval it has', () => {
    const [draft, unreviewed] = [texts.words.common.draft, texts.words.common.unreviewed].map(
      escapeHtml,
    );
    expect(page()).toContain(draft);
    expect(page().includes(unreviewed!)).toBe(language !== 'en');
    const approved = renderPage(
      sampleContent({ language, manifest: sampleManifest({ approval: 'Board 7' }) }),
      { ...texts, review: 'reviewed', unreviewed: [] },
      parts,
    );
    expect(approved).not.toContain(draft);
    expect(approved).not.toContain(unreviewed);
    expect(approved).toContain('Board 7');
  });

  test('goes the way of its language, and holds no address of a network', () => {
    expect(page().replace(/url\(data:[^)]*\)/g, '')).not.toMatch(/https?:\/\/|src=|@import/i);
    expect(page()).toContain(`dir="${language === 'ar' ? 'rtl' : 'ltr'}"`);
  });
});
