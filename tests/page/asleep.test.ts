/**
 * The page of a child who is scanned asleep, through one night: by a parent, in a real headless
 * Chromium. Nobody is asked, nothing is counted, and the “shhh” never sounds beside a sleeping child.
 */
import { rm } from 'node:fs/promises';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { decodeLogCode } from '../../src/practice/log-code.js';
import { kindOf, textsFor } from '../../src/kit/words/texts-for.js';
import { openBrowser } from '../helpers/browser.js';
import { hearReference, openPage, shownScreen, writeFamilyKit } from '../helpers/family-page.js';
import { asleepManifest } from '../helpers/asleep-kit.js';
import { sampleContent, sampleTexts } from '../helpers/sample-kit.js';

const manifest = asleepManifest();
const { words } = textsFor(sampleTexts('en'), kindOf(manifest));

let browser: Browser;
let file: string;

beforeAll(async () => {
  [browser, file] = await Promise.all([openBrowser(), writeFamilyKit(sampleContent({ manifest }))]);
});

afterAll(async () => {
  await browser.close();
  await rm(path.dirname(file), { recursive: true });
});

const isShown = (page: Page, selector: string): Promise<boolean> => page.isVisible(selector);

test('a night: volume in the evening, the file once, stopped when the child stirs', async () => {
  const opened = await openPage(browser, file, { at: '2027-06-03T18:30:00', practised: 0 });
  const { page } = opened;
  const playing = (): Promise<boolean> =>
    page.evaluate(() => audioElements().some(({ paused }) => !paused));

  await page.click('#screen-welcome .main');
  await page.click('#screen-cautions .main');
  await page.click('[data-speaker="phone"]');
  await page.click('#screen-ready .main');
  expect(await page.textContent('#screen-volume .matter')).toContain(words.asleep.volumeAwake);
  await hearReference(page);
  await page.click('[data-do="volume-set"]');
  expect(await page.textContent('#title-today')).toBe(words.page.today);

  // Opened again beside the bed: the volume was set this evening.
  await page.clock.setSystemTime(new Date('2027-06-03T20:30:00'));
  await page.reload();
  expect(await shownScreen(page)).toBe('screen-today');
  expect(await playing()).toBe(false);
  await page.click('#to-ask');
  for (const check of words.asleep.checks) {
    expect(await page.textContent('#screen-ask')).toContain(check);
  }
  await page.click('#screen-ask [data-go="not-today"]');
  expect(await shownScreen(page)).toBe('screen-not-today');
  await page.click('#screen-not-today [data-go="today"]');
  await page.click('#to-ask');
  await page.click('[data-do="start"]');
  // No clock is run: nothing is counted down.
  await page.waitForSelector('#screen-play:not([hidden])');
  expect(await page.textContent('#count')).toBe('');
  await page.waitForFunction(() => audioElements().some(({ currentTime }) => currentTime > 0.3));
  await page.click('#screen-play .stop');

  expect(await shownScreen(page)).toBe('screen-how');
  expect(await page.textContent('#stopped-note')).toContain(words.page.stoppedText);
  expect(await page.locator('#how-form [name="childMark"]').count()).toBe(0);
  expect(await page.locator('#how-form [name="parentMark"]').count()).toBe(3);
  await page.click('label:has([name="parentMark"][value="4"])');
  await page.click('[data-do="save"]');
  expect(await shownScreen(page)).toBe('screen-done');
  expect(await isShown(page, '#done-back')).toBe(true);
  expect(await page.locator('#screen-done [data-go="today"]').count()).toBe(0);

  await page.click('#screen-done [data-go="log"]');
  const cells = await page.locator('#log-rows td').allTextContents();
  expect(cells).toHaveLength(await page.locator('#screen-log th').count());
  expect(cells[3]).toBe(words.asleep.markStirred);
  expect(cells).not.toContain(words.log.declined);
  const code = await page.locator('#log-code').innerText();
  expect(decodeLogCode(code, manifest.kit)).toMatchObject([
    { ended: 'parent', volumeChecked: true, childRating: null, parentRating: 4, signs: [] },
  ]);

  // Once a night, past midnight too.
  await page.clock.setSystemTime(new Date('2027-06-04T00:30:00'));
  await page.click('nav [data-do="home"]');
  expect(await page.textContent('#day-note')).toBe(words.asleep.playedTonight);
  expect(await isShown(page, '#to-ask')).toBe(false);

  // The next evening the volume is checked again first; who sleeps already waits a night.
  await page.clock.setSystemTime(new Date('2027-06-04T18:30:00'));
  await page.reload();
  expect(await shownScreen(page)).toBe('screen-volume');
  await page.click('#screen-volume [data-go="not-today"]');
  expect(await shownScreen(page)).toBe('screen-not-today');
  expect(opened.problems).toEqual([]);
  await opened.close();
});
