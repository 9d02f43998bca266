/** Every screen against WCAG 2.2 AA, by axe-core, and at 200 % zoom. */
import { readFileSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { LANGUAGES } from '../../src/protocol/study-file.js';
import { openBrowser } from '../helpers/browser.js';
import {
  openPage,
  setVolume,
  startStep,
  writeFamilyKit,
  writeFamilyPage,
} from '../helpers/family-page.js';
import { sampleContent, sampleManifest } from '../helpers/sample-kit.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Tags of axe-core's rules that together are WCAG 2.2, levels A and AA. */
const WCAG_22_AA = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** A laptop of 1280 x 800 at 200 %: WCAG 2.2, 1.4.4. */
const ZOOMED = { width: 640, height: 400 };

/** A laptop of 1280 at 400 %: WCAG 2.2, 1.4.10 (reflow). */
const NARROW_WIDTH = 320;

let browser: Browser;
let file: string;

beforeAll(async () => {
  [browser, file] = await Promise.all([openBrowser(), writeFamilyKit(sampleContent())]);
});

afterAll(async () => {
  await browser.close();
  await rm(path.dirname(file), { recursive: true });
});

const screenNames = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    Array.from(document.querySelectorAll('.screen'), ({ id }) => id.replace('screen-', '')),
  );

/** Shows a screen and everything in it that waits to be shown. */
function showAll(name: string): void {
  for (const screen of document.querySelectorAll<HTMLElement>('.screen')) {
    screen.hidden = screen.id !== `screen-${name}`;
    for (const part of screen.querySelectorAll<HTMLElement>('[hidden]')) part.hidden = false;
    for (const details of screen.querySelectorAll('details')) details.open = true;
  }
}

async function walked(language: string, ageBand = '7-9'): Promise<Page> {
  const kit = await writeFamilyPage(
    path.dirname(file),
    sampleContent({ language, manifest: sampleManifest({ ageBand }) }),
  );
  const { page } = await openPage(browser, kit);
  await setVolume(page);
  await startStep(page);
  await page.click('#screen-play .stop');
  await page.click('[data-do="save"]');
  await page.click('nav [data-go="log"]');
  return page;
}

test.each([
  ['en', '4-6'],
  ['es', '7-9'],
  ['fr', '2-3'],
  ['ar', '4-6'],
])('no screen of a kit in %s, for %s years, violates WCAG 2.2 AA', async (language, ageBand) => {
  const page = await walked(language, ageBand);
  await page.evaluate(AXE);
  const names = await screenNames(page);
  expect(names.length).toBeGreaterThanOrEqual(18);
  for (const name of names) {
    await page.evaluate(showAll, name);
    const violations = await page.evaluate(async tags => {
      const { axe } = window as unknown as {
        axe: {
          run: (options: object) => Promise<{
            violations: { id: string; nodes: { html: string; failureSummary: string }[] }[];
            passes: unknown[];
          }>;
        };
      };
      const result = await axe.run({ runOnly: tags, resultTypes: ['violations'] });
      if (result.passes.length === 0) throw new Error('axe checked nothing');
      return result.violations.map(
        ({ id, nodes }) => `${id}: ${nodes[0]!.html} ${nodes[0]!.failureSummary}`,
      );
    }, WCAG_22_AA);
    expect(violations, name).toEqual([]);
  }
  await page.context().close();
});

test.each(LANGUAGES)(
  'in %s, at 200 %% zoom and at 320 pixels, no screen loses anything to the side',
  async language => {
    const page = await walked(language);
    for (const size of [ZOOMED, { width: NARROW_WIDTH, height: 640 }]) {
      await page.setViewportSize(size);
      for (const name of await screenNames(page)) {
        await page.evaluate(showAll, name);
        const cut = await page.evaluate(() =>
          Array.from(document.querySelectorAll<HTMLElement>('.screen:not([hidden]) *, header *'))
            .filter(element => !element.closest('.wide') && element.getClientRects().length > 0)
            .filter(element => {
              const { left, right } = element.getBoundingClientRect();
              const cut =
                element.matches('button, label, summary') &&
                element.scrollWidth > element.clientWidth + 1;
              return cut || left < -0.5 || right > document.documentElement.clientWidth + 0.5;
            })
            .map(({ outerHTML }) => outerHTML.slice(0, 80)),
        );
        expect(cut, `${name} at ${size.width}`).toEqual([]);
      }
    }
    await page.context().close();
  },
);

test('every button is at least 44 pixels high: a thumb finds it', async () => {
  const page = await walked('fr');
  for (const name of await screenNames(page)) {
    await page.evaluate(showAll, name);
    const small = await page.evaluate(() =>
      Array.from(
        document.querySelectorAll<HTMLElement>('.screen:not([hidden]) :is(button, label, summary)'),
      )
        .filter(
          element => element.getClientRects().length > 0 && element.getAttribute('for') === null,
        )
        .filter(element => element.getBoundingClientRect().height < 44)
        .map(({ outerHTML }) => outerHTML.slice(0, 80)),
    );
    expect(small, name).toEqual([]);
  }
  await page.context().close();
});
