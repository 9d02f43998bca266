/**
 * The whole way through the page, from the first screen to “done”: by mouse, by keyboard alone and by
 * touch, on three sizes, in four languages, in a real headless Chromium. The screens are
 * kept as pictures in `out/screens/`, for people to look at.
 */
import { mkdir, rm } from 'node:fs/promises';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { decodeLogCode } from '../../src/practice/log-code.js';
import { fillIn } from '../../src/kit/words/texts.js';
import { openBrowser, SIZES } from '../helpers/browser.js';
import {
  hearReference,
  openPage,
  shownScreen,
  writeFamilyKit,
  writeFamilyPage,
} from '../helpers/family-page.js';
import { sampleContent, sampleTexts } from '../helpers/sample-kit.js';

type Hand = 'mouse' | 'keyboard' | 'touch';

const [PHONE, TABLET, LAPTOP] = SIZES;

/** Every way in, on every size; every language on two sizes or more. */
const WAYS: readonly (readonly [(typeof SIZES)[number], Hand, string])[] = [
  [PHONE, 'touch', 'en'],
  [PHONE, 'mouse', 'es'],
  [PHONE, 'keyboard', 'ar'],
  [TABLET, 'touch', 'ar'],
  [TABLET, 'mouse', 'en'],
  [TABLET, 'keyboard', 'fr'],
  [LAPTOP, 'touch', 'fr'],
  [LAPTOP, 'mouse', 'en'],
  [LAPTOP, 'keyboard', 'es'],
];

/** Languages whose screens are kept: one for each direction. */
const PICTURED: readonly string[] = ['en', 'ar'];

/** Screens that no calm practice meets; pictured in English. */
const OTHER_SCREENS = ['ask-first', 'cut-off', 'not-today', 'worry', 'missing', 'guide'];

let browser: Browser;
let folder: string;

beforeAll(async () => {
  [browser, folder] = await Promise.all([
    openBrowser(),
    writeFamilyKit(sampleContent()).then(file => path.dirname(file)),
  ]);
});

afterAll(async () => {
  await browser.close();
  await rm(folder, { recursive: true });
});

/** A parent with a mouse, a keyboard or a finger. */
class Parent {
  constructor(
    private readonly page: Page,
    private readonly hand: Hand,
  ) {}

  async press(selector: string): Promise<void> {
    if (this.hand === 'touch') return this.page.tap(selector);
    if (this.hand === 'mouse') return this.page.click(selector);
    await this.tabTo(selector);
    await this.page.keyboard.press('Enter');
  }

  /** Gives a mark on one of the scales from 0 to 10. */
  async mark(name: string, value: number): Promise<void> {
    if (this.hand !== 'keyboard') {
      return this.press(`label:has([name="${name}"][value="${value}"])`);
    }
    await this.tabTo(`[name="${name}"]`);
    // A scale without a mark takes the focus at 0; arrows go on from there.
    await this.page.keyboard.press('Space');
    const forward =
      (await this.page.getAttribute('html', 'dir')) === 'rtl' ? 'ArrowDown' : 'ArrowRight';
    for (let mark = 0; mark < value; mark++) await this.page.keyboard.press(forward);
  }

  private async tabTo(selector: string): Promise<void> {
    for (let presses = 0; presses < 40; presses++) {
      const isThere = await this.page.evaluate(
        wanted => document.activeElement?.matches(wanted) === true,
        selector,
      );
      if (isThere) return;
      await this.page.keyboard.press('Tab');
    }
    throw new Error(`Tab never reaches ${selector}`);
  }
}

test.each(WAYS.map(([size, hand, language]) => ({ ...size, hand, language })))(
  'on a $name of $width x $height by $hand, in $language',
  async way => {
    const { name, width, height, hand, language } = way;
    const { common, page: words } = sampleTexts(language).words;
    const file = await writeFamilyPage(folder, sampleContent({ language }));
    const touch = hand === 'touch';
    const opened = await openPage(browser, file, {
      viewport: { width, height },
      hasTouch: touch,
      isMobile: touch && name !== 'laptop',
      practised: 0,
    });
    const { page } = opened;
    const parent = new Parent(page, hand);
    const pictures = path.resolve(import.meta.dirname, `../../out/screens/${name}-${language}`);
    await mkdir(pictures, { recursive: true });
    const look = async (picture: string): Promise<void> => {
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide, picture).toBeLessThanOrEqual(width);
      if (!PICTURED.includes(language)) return;
      await page.screenshot({ path: path.join(pictures, `${picture}.png`) });
    };
    const step = (number: number): string => fillIn(common.stepOf, { number, count: 12 });

    expect(await page.getAttribute('html', 'lang')).toBe(language);
    await look('01-welcome');
    await parent.press('#screen-welcome .main');
    await look('02-cautions');
    await parent.press('#screen-cautions .main');
    await look('03-speaker');
    expect(await isMirrored(page)).toBe(language === 'ar');
    await parent.press('[data-speaker="headphones"]');
    expect(await page.isVisible('#headphones-no')).toBe(true);
    await parent.press('[data-speaker="phone"]');
    await look('04-ready');
    await parent.press('#screen-ready .main');
    await parent.press('[data-do="volume-set"]');
    expect(await page.isVisible('#volume-first')).toBe(true);
    await hearReference(page, () => parent.press('[data-do="reference"]'));
    await look('05-volume');
    await parent.press('[data-do="volume-set"]');
    expect(await page.textContent('#step-title')).toBe(step(1));
    await parent.press('#chooser summary');
    await parent.press('[data-choose="3"]');
    expect(await page.textContent('#step-title')).toBe(step(3));
    await look('06-today');
    await parent.press('#to-ask');
    await look('07-ask');
    await parent.press('[data-do="start"]');
    await page.waitForFunction(() => document.getElementById('count')?.textContent === '3');
    await look('08-count');
    await page.clock.runFor(3000);
    await page.waitForSelector('#screen-play:not([hidden])');
    expect(await page.evaluate(() => navigator.mediaSession.metadata?.title)).toBe(step(3));
    expect(await page.evaluate(() => awake())).toBe(true);
    // One key is enough to stop.
    expect(await page.evaluate(() => document.activeElement?.className)).toBe('stop');
    await page.waitForFunction(
      () => document.getElementById('sound-now')?.textContent === 'First star',
    );
    expect(await page.textContent('#sound-next')).toBe('Star map');
    expect(await page.textContent('#time-left')).toMatch(
      new RegExp(`^${fillIn(words.timeLeft, { time: '0:0[1-4]' })}$`),
    );
    await look('09-playing');
    // To its end, without waiting for all of it.
    await page.evaluate(() => {
      for (const audio of audioElements().filter(({ paused }) => !paused)) {
        audio.currentTime = audio.duration - 0.2;
      }
    });
    await page.waitForSelector('#screen-how:not([hidden])');
    expect(await page.evaluate(() => awake())).toBe(false);
    await parent.mark('childMark', 1);
    await parent.mark('parentMark', 2);
    await look('10-how');
    await parent.press('[data-do="save"]');
    expect(await shownScreen(page)).toBe('screen-done');
    await look('11-done');
    await parent.press('#screen-done [data-go="log"]');
    await look('12-log');
    const code = await page.locator('#log-code').innerText();
    expect(decodeLogCode(code, 'K7F3-M')).toMatchObject([
      {
        date: '2027-06-03',
        half: 'from noon',
        step: 3,
        ended: 'completed',
        volumeChecked: true,
        childRating: 1,
        parentRating: 2,
      },
    ]);
    if (language === 'en') {
      for (const other of OTHER_SCREENS) {
        await page.evaluate(shown => {
          for (const screen of document.querySelectorAll<HTMLElement>('.screen')) {
            screen.hidden = screen.id !== `screen-${shown}`;
          }
          window.scrollTo(0, 0);
        }, other);
        await look(other);
      }
    }
    expect(opened.problems).toEqual([]);
    await opened.close();
  },
);

/** Whether the first thing on a line is at the right: kit and way home, picture and words, first step. */
async function isMirrored(page: Page): Promise<boolean> {
  const sides = await page.evaluate(() => {
    const left = (selector: string): number => {
      const elements = Array.from(document.querySelectorAll(selector));
      return elements[0]!.getBoundingClientRect().left;
    };
    const firstBar = document.querySelector('.stairs rect')!.getAttribute('x');
    const lastBar = document.querySelector('.stairs rect:last-of-type')!.getAttribute('x');
    return [
      left('nav button') > left('nav button:last-child'),
      left('.choice svg') > left('.choice span'),
      Number(firstBar) > Number(lastBar),
      getComputedStyle(document.querySelector('#screen-speaker h1')!).direction === 'rtl',
    ];
  });
  expect(new Set(sides).size).toBe(1);
  return sides[0]!;
}
