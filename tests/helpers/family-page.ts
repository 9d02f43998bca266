/** A kit's page opened from its file, as a family opens it, with everything it does watched. */
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import type { KitContent } from '../../src/kit/content.js';
import { renderPage } from '../../src/kit/screens/page.js';
import { kindOf, textsFor } from '../../src/kit/words/texts-for.js';
import { sampleManifest, samplePageParts, sampleTexts, writeSampleAudio } from './sample-kit.js';

/** A day on which the sample plan has reached step 3. */
export const THIRD_DAY = '2027-06-03T18:30:00';

/** All local files share one storage. */
const BESIDE = new URL('beside.html', import.meta.url).href;

export interface FamilyPage {
  readonly page: Page;
  /** Console errors, exceptions, and requests for anything but files and data within the page. */
  readonly problems: readonly string[];
  readonly close: () => Promise<void>;
}

export interface OpenOptions extends BrowserContextOptions {
  /** Local time in the browser. */
  readonly at?: string;
  readonly blockStorage?: boolean;
  /** Steps practised on the days before, as the page keeps them: two, unless given. */
  readonly practised?: number;
}

/** Writes page and audio of a kit into a new folder; returns the page's path. */
export async function writeFamilyKit(content: KitContent): Promise<string> {
  const folder = await mkdtemp(path.join(tmpdir(), 'family-kit-'));
  await writeSampleAudio(folder, content.manifest);
  return writeFamilyPage(folder, content);
}

export async function writeFamilyPage(folder: string, content: KitContent): Promise<string> {
  const file = path.join(folder, `start-here-${content.language}.html`);
  await writeFile(
    file,
    renderPage(
      content,
      textsFor(sampleTexts(content.language), kindOf(content.manifest)),
      samplePageParts(),
    ),
  );
  return file;
}

export async function openPage(
  browser: Browser,
  file: string,
  options: OpenOptions = {},
): Promise<FamilyPage> {
  const { at = THIRD_DAY, blockStorage = false, practised = 2, ...contextOptions } = options;
  const context = await browser.newContext({
    viewport: { width: 360, height: 640 },
    ...contextOptions,
  });
  const page = await context.newPage();
  const problems: string[] = [];
  page.on('console', message => {
    if (message.type() === 'error') problems.push(`console: ${message.text()}`);
  });
  page.on('pageerror', error => problems.push(`exception: ${error.message}`));
  page.on('request', request => {
    if (!/^(file|data):/.test(request.url())) problems.push(`request: ${request.url()}`);
  });
  await page.addInitScript(watchAudio);
  if (blockStorage) await page.addInitScript(blockLocalStorage);
  await page.clock.install({ time: new Date(at) });
  if (!blockStorage && practised > 0) {
    // From beside the page: a script that runs before a page's own and touches the storage can cut the
    // page off from what is stored.
    await page.goto(BESIDE);
    await page.evaluate(rememberPractices, { kit: sampleManifest().kit, count: practised });
  }
  await page.goto(pathToFileURL(file).href);
  return { page, problems, close: () => context.close() };
}

/** Walks from the first screen to today's step. */
export async function setVolume(page: Page): Promise<void> {
  await page.click('#screen-welcome .main');
  await page.click('#screen-cautions .main');
  await page.click('[data-speaker="phone"]');
  // Who practised before knows how to get ready.
  if ((await shownScreen(page)) === 'screen-ready') await page.click('#screen-ready .main');
  await hearReference(page);
  await page.click('[data-do="volume-set"]');
}

/** Plays the reference until the page takes it as heard: skips ahead, to be quick. */
export async function hearReference(
  page: Page,
  press = () => page.click('[data-do="reference"]'),
): Promise<void> {
  await press();
  await page.waitForSelector('[data-do="reference"][aria-pressed="true"]');
  await page.evaluate(() => {
    for (const audio of audioElements().filter(({ paused }) => !paused)) audio.currentTime = 3;
  });
  await page.waitForFunction(() =>
    audioElements().some(({ paused, currentTime }) => !paused && currentTime > 3),
  );
}

/** From today's step through the count-down to the moment when it plays. */
export async function startStep(page: Page, whenAsked?: () => Promise<unknown>): Promise<void> {
  await page.click('#to-ask');
  await whenAsked?.();
  await page.click('[data-do="start"]');
  await page.waitForFunction(() => document.getElementById('count')?.textContent === '3');
  await page.clock.runFor(3000);
  await page.waitForSelector('#screen-play:not([hidden])');
}

export const shownScreen = (page: Page): Promise<string> =>
  page.evaluate(() => document.querySelector('.screen:not([hidden])')?.id ?? '');

/**
 * Keeps the page's audio elements, which stand outside its document, the browser's own timer, and the
 * page's wish for a screen that stays awake within reach of a test.
 */
function watchAudio(): void {
  const NativeAudio = window.Audio;
  const elements: HTMLAudioElement[] = [];
  const watching = function (): HTMLAudioElement {
    const element = new NativeAudio();
    elements.push(element);
    return element;
  };
  // A browser without a screen has nothing to keep awake: note what the page asks for.
  let locks = 0;
  const request = (): Promise<EventTarget> => {
    locks += 1;
    const lock = new EventTarget();
    const release = (): Promise<void> => {
      locks -= 1;
      return Promise.resolve();
    };
    return Promise.resolve(Object.assign(lock, { release }));
  };
  Object.defineProperty(navigator, 'wakeLock', { value: { request } });
  Object.assign(window, {
    awake: () => locks > 0,
    Audio: watching,
    audioElements: () => elements,
    realTimeout: window.setTimeout.bind(window),
  });
}

/** Puts calm practices of the sample kit into the page's memory, one a day. */
function rememberPractices({ kit, count }: { kit: string; count: number }): void {
  const practices = Array.from({ length: count }, (_, index) => ({
    date: `2027-06-${String(index + 1).padStart(2, '0')}`,
    time: '18:00',
    step: index + 1,
    volumeChecked: true,
    playedSeconds: 60,
    completed: true,
    cut: false,
    stoppedBy: '',
    childMark: '1',
    parentMark: '1',
    signs: [],
    note: '',
  }));
  localStorage.setItem(`softknock ${kit}`, JSON.stringify({ practices }));
}

function blockLocalStorage(): void {
  Object.defineProperty(window, 'localStorage', {
    get() {
      throw new DOMException('blocked', 'SecurityError');
    },
  });
}

declare global {
  /** In the page, after {@link watchAudio}. */
  function audioElements(): HTMLAudioElement[];
  /** Whether the page asks for the screen to stay awake. */
  function awake(): boolean;
  /** The browser's own timer, from before the test's clock was put in. */
  function realTimeout(callback: () => void, ms: number): void;
}
